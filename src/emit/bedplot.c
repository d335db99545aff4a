/* Width, length and bending moment of the hoop over the steps, and off the machine. */
#include "emit/bedpanel.h"
#include "emit/ticks.h"
#include "emit/type.h"

#include <math.h>

/* A curve over the steps. */
struct line {
    const char *id, *name, *class_name;
    double (*value)(const struct state *state);
};

struct axis {
    struct area area; /* of the plot */
    struct ticks ticks;
};

struct plot {
    const struct bed_picture *picture;
    double left, right, off; /* of the steps, and where the state off the machine stands */
    int steps;
    double *at; /* by event: step, and more where a step has several */
};

/* ---- places ---- */

static double x_of(const struct plot *plot, double step) {
    return plot->left + (plot->right - plot->left) * step / (plot->steps + 0.5);
}

static double y_of(const struct axis *axis, double value) {
    double first = tick_at(axis->ticks, 0), last = tick_last(axis->ticks);
    return axis->area.top + axis->area.height * (last - value) / (last - first);
}

static void set_steps(struct plot *plot) {
    const struct bed_picture *picture = plot->picture;
    int count = picture->bed->job.count;
    plot->steps = (int)picture->sheet->rows.count;
    plot->at = arena_many(picture->out->arena, double, count + 1);
    for (int e = 0, first = 0; e < count; e++) {
        if (step_of_event(picture->bed, picture->sheet, e) !=
            step_of_event(picture->bed, picture->sheet, first))
            first = e;
        plot->at[e] = step_of_event(picture->bed, picture->sheet, e) + 0.5 * (e - first);
    }
}

static const struct state *state_at(const struct plot *plot, int event) {
    return &plot->picture->bed->outcome->after[event];
}

/* ---- what is pulled ---- */

static enum kind kind_of(const struct plot *plot, int event) {
    const struct bed *bed = plot->picture->bed;
    return bed->pattern->frame->strands[bed->job.events[event].strand].kind;
}

/* Bands behind the steps with which crosses are pulled; each run says what it is, where that goes
 * in. */
static void put_bands(const struct plot *plot, const struct axis *axes, int axis_count) {
    struct output *out = plot->picture->out;
    int count = plot->picture->bed->job.count;
    put_format(out, "<g id=\"%sruns\">\n", plot->picture->prefix);
    for (int e = 0, next; e < count; e = next) {
        for (next = e + 1; next < count && kind_of(plot, next) == kind_of(plot, e);)
            next++;
        double from = x_of(plot, plot->at[e] - 0.5), to = x_of(plot, plot->at[next - 1] + 0.5);
        const char *words = kind_of(plot, e) == MAIN ? "mains" : "crosses";
        for (int i = 0; i < axis_count && kind_of(plot, e) == CROSS; i++)
            svg_box(out, "bed-band",
                    (struct point){(from + to) / 2, axes[i].area.top + axes[i].area.height / 2},
                    to - from, axes[i].area.height, 0);
        if (to - from > text_width(words, BED_NUMBER) + 1)
            svg_label(out, "bed-middle", (struct point){(from + to) / 2, axes[0].area.top - 0.9},
                      words);
    }
    put(out, "</g>\n");
}

/* ---- axes ---- */

static void put_value_axis(const struct plot *plot, const struct axis *axis) {
    struct output *out = plot->picture->out;
    for (int i = 0; i < axis->ticks.count; i++) {
        double value = tick_at(axis->ticks, i), y = y_of(axis, value);
        svg_segment(out, axis->ticks.first + i == 0 ? "bed-zero" : "bed-grid",
                    (struct point){plot->left, y}, (struct point){plot->off + 2, y});
        svg_label(out, "bed-end", (struct point){plot->left - 1.5, y + BED_NUMBER * 0.36},
                  format_decimal(out->arena, value, axis->ticks.decimals));
    }
    svg_segment(out, "bed-axis", (struct point){plot->left, axis->area.top},
                (struct point){plot->left, axis->area.top + axis->area.height});
}

static void put_step_axis(const struct plot *plot, double y) {
    struct output *out = plot->picture->out;
    struct ticks ticks = ticks_over(0, plot->steps, 16, STEPS_PLAIN);
    svg_segment(out, "bed-axis", (struct point){plot->left, y}, (struct point){plot->right, y});
    for (int i = 0; i < ticks.count && tick_at(ticks, i) <= plot->steps; i++) {
        double x = x_of(plot, tick_at(ticks, i));
        svg_segment(out, "bed-axis", (struct point){x, y}, (struct point){x, y + 1});
        svg_label(out, "bed-middle", (struct point){x, y + 1.4 + BED_NUMBER},
                  format_decimal(out->arena, tick_at(ticks, i), 0));
    }
    svg_segment(out, "bed-axis", (struct point){plot->off, y}, (struct point){plot->off, y + 1});
    static const char *const off[] = {"off the", "machine"};
    for (int i = 0; i < 2; i++)
        svg_label(out, "bed-middle",
                  (struct point){plot->off, y + 1.4 + BED_NUMBER * (1 + 1.2 * i)}, off[i]);
    svg_label(out, "bed-middle",
              (struct point){(plot->left + plot->right) / 2, y + 4.4 + BED_NUMBER},
              "step, as the step list counts them");
}

/* ---- curves ---- */

static double width_of(const struct state *state) { return state->width; }
static double length_of(const struct state *state) { return state->length; }
static double moment_of(const struct state *state) { return fabs(state->moment) * 1e-3; }

static void put_line(const struct plot *plot, const struct axis *axis, const struct line *line) {
    struct output *out = plot->picture->out;
    put_format(out, "<g id=\"%s%s\">", plot->picture->prefix, line->id);
    svg_title(out, line->name);
    put_format(out, "<path class=\"%s\" d=\"", line->class_name);
    svg_move(out, (struct point){plot->left, y_of(axis, 0)});
    for (int e = 0; e < plot->picture->bed->job.count; e++)
        svg_line(out, (struct point){x_of(plot, plot->at[e]),
                                     y_of(axis, line->value(state_at(plot, e)))});
    put(out, "\"/>");
    svg_circle(out, "bed-dot",
               (struct point){plot->off,
                              y_of(axis, line->value(&plot->picture->bed->outcome->off_machine))},
               0.9);
    put(out, "</g>\n");
}

static void reach(const struct plot *plot, double (*value)(const struct state *state),
                  double *least, double *most) {
    const struct outcome *outcome = plot->picture->bed->outcome;
    for (int e = 0; e <= plot->picture->bed->job.count; e++) {
        double at =
            value(e < plot->picture->bed->job.count ? &outcome->after[e] : &outcome->off_machine);
        *least = fmin(*least, at);
        *most = fmax(*most, at);
    }
}

static void put_changes(const struct plot *plot, const struct axis *axis) {
    static const struct line lines[] = {{"width", "width", "bed-first", width_of},
                                        {"length", "length", "bed-second", length_of}};
    const struct state *off = &plot->picture->bed->outcome->off_machine;
    double y[2];
    for (int i = 0; i < 2; i++) {
        put_line(plot, axis, &lines[i]);
        y[i] = y_of(axis, lines[i].value(off));
    }
    /* names beside the last points, clear of each other */
    double short_of = BED_NUMBER + 0.8 - fabs(y[1] - y[0]);
    if (short_of > 0) {
        double sign = y[1] >= y[0] ? 1 : -1;
        y[0] -= sign * short_of / 2;
        y[1] += sign * short_of / 2;
    }
    for (int i = 0; i < 2; i++) {
        double at = y[i], x = plot->off + 4;
        svg_segment(plot->picture->out, lines[i].class_name, (struct point){x, at},
                    (struct point){x + 5.5, at});
        svg_label(plot->picture->out, NULL, (struct point){x + 6.5, at + BED_NUMBER * 0.36},
                  lines[i].name);
    }
}

static void put_peaks(const struct plot *plot, const struct axis *axis) {
    struct output *out = plot->picture->out;
    const struct bed *bed = plot->picture->bed;
    put_format(out, "<g id=\"%speaks\">\n", plot->picture->prefix);
    for (int e = 0; e < bed->job.count; e++) {
        if (!is_new_peak(bed, e)) continue;
        struct point at = {x_of(plot, plot->at[e]), y_of(axis, moment_of(state_at(plot, e)))};
        bool most = e == bed->outcome->moment.event;
        svg_circle(out, most ? "bed-most" : "bed-dot", at, most ? 1 : 0.8);
        if (!most) continue;
        const char *words = format(out->arena, "most on the machine: step %d",
                                   step_of_event(bed, plot->picture->sheet, e));
        double half = text_width(words, BED_NUMBER) / 2;
        svg_label(out, "bed-middle",
                  (struct point){fmin(fmax(at.x, plot->left + half + 1), plot->right + 1 - half),
                                 at.y - 1.6},
                  words);
    }
    put(out, "</g>\n");
}

/* ---- the whole ---- */

void put_bed_plot(const struct bed_picture *picture, struct area area) {
    const double scale = 10, names = 24, gap = 10;
    struct plot plot = {
        .picture = picture, .left = area.left + scale, .off = area.left + area.width - names};
    plot.right = plot.off - 9;
    set_steps(&plot);
    double foot = 9, top = area.top + BED_HEADING + 7.5, high = area.height - (top - area.top);
    double upper = (high - foot - gap) * 0.62, lower = high - foot - gap - upper;
    struct axis axes[] = {{.area = {plot.left, top, 0, upper}},
                          {.area = {plot.left, top + upper + gap, 0, lower}}};
    double least = 0, most = 0;
    reach(&plot, width_of, &least, &most);
    reach(&plot, length_of, &least, &most);
    axes[0].ticks = ticks_over(least, most, 6, STEPS_PLAIN);
    least = most = 0;
    reach(&plot, moment_of, &least, &most);
    axes[1].ticks = ticks_over(least, most, 4, STEPS_PLAIN);
    open_panel(picture, "plots", area, "C", "Step by step");
    put_bands(&plot, axes, 2);
    static const char *const heads[] = {
        "change of width and length inside, mm",
        "largest bending moment of the hoop, N m; dots: more than at any step before"};
    for (int i = 0; i < 2; i++) {
        put_value_axis(&plot, &axes[i]);
        svg_label(picture->out, "bed-words",
                  (struct point){i == 0 ? area.left + 32 : plot.left,
                                 i == 0 ? area.top + BED_HEADING : axes[i].area.top - 4.2},
                  heads[i]);
    }
    put_changes(&plot, &axes[0]);
    struct line moment = {"moment", "bending moment", "bed-first", moment_of};
    put_line(&plot, &axes[1], &moment);
    put_peaks(&plot, &axes[1]);
    put_step_axis(&plot, area.top + area.height - foot);
    close_panel(picture);
}
