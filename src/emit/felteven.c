/* Even pulls: what they are, what they change, and the line of the pattern that asks for them. */
#include "emit/feltmaker.h"

#include "ground/units.h"

#include <math.h>

static double deviation_of(const struct bed_evenness *evenness, bool mains) {
    return mains ? evenness->mains.deviation : evenness->crosses.deviation;
}

static void add_even_facts(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    const struct even *even = bed->even;
    enum unit unit = felt_unit(bed);
    double step = tension_step(bed->pattern, unit);
    const char *steps = force_words(m->arena, step, unit, 2);
    if (even->result == EVEN_IMPOSSIBLE) {
        add_felt_fact(m, "Even", "no pulls were found that would make them even");
        return;
    }
    for (int k = 0; k < 2; k++) {
        bool mains = felt_kinds[k] == MAIN;
        add_felt_fact(
            m, "Even",
            format(m->arena,
                   "%s off the machine, at the values given or assumed: unlike by %s as asked, "
                   "by %s with even pulls, by %s with those in steps of %s",
                   mains ? "mains" : "crosses",
                   felt_tension(bed, deviation_of(&even->before, mains), m->arena),
                   felt_tension(bed, deviation_of(&even->after, mains), m->arena),
                   felt_tension(bed, deviation_of(&even->after_rounding, mains), m->arena), steps));
    }
    if (even->result == EVEN_DID_NOT_SETTLE)
        add_felt_fact(m, "Even",
                      "which supports are in touch went on changing: the best there was");
    if (even->limited > 0)
        add_felt_fact(
            m, "Even",
            format(m->arena,
                   "%d %s would leave the range printed on the frame and %s set to its end, so "
                   "that the bed is less even, and the mean pull not what it was",
                   even->limited, even->limited == 1 ? "pull" : "pulls",
                   even->limited == 1 ? "is" : "are"));
}

/* What even pulls change, for better and for worse. */
static void add_even_spread(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    const struct {
        const char *name;
        int figure;
    } rows[] = {{"mains", evenness_figure(MAIN, true, EVENNESS_MEAN)},
                {"  unlike by", evenness_figure(MAIN, true, EVENNESS_DEVIATION)},
                {"crosses", evenness_figure(CROSS, true, EVENNESS_MEAN)},
                {"  unlike by", evenness_figure(CROSS, true, EVENNESS_DEVIATION)},
                {"bending", FIGURE_MOMENT_PEAK}};
    struct felt_table *table = add_felt_table(m, "Even pulls as they are set");
    add_felt_column(table, 12, "");
    const char *unit = unit_word(felt_unit(bed));
    add_felt_column(table, 23, format(m->arena, "as asked, %s", unit));
    add_felt_column(table, 23, format(m->arena, "even, %s", unit));
    add_felt_column(table, 22, format(m->arena, "change, %s", unit));
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct sweep *sweep = bed->even_sweep;
        int figure = rows[i].figure;
        bool moment = figure == FIGURE_MOMENT_PEAK;
        struct felt_row *row = add_felt_row(m, table, rows[i].name);
        for (int k = 0; k < 2; k++)
            row->cells[k + 1] = moment ? moment_range(sweep->figures[k][figure], m->arena)
                                       : bare_range(bed, sweep->figures[k][figure], m->arena);
        row->cells[3] = !sweep->differs[figure] ? "no clear difference"
                        : moment                ? moment_change(sweep, m->arena)
                                 : bare_range(bed, sweep->difference[figure], m->arena);
    }
}

static void add_even_table(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    const struct frame *frame = bed->pattern->frame;
    struct felt_table *table = add_felt_table(m, "Even pulls");
    add_felt_column(table, 11, "");
    add_felt_column(table, 16, "asked");
    add_felt_column(table, 16, "even");
    add_felt_column(table, 16, "to be set");
    for (int s = 0; s < frame->strand_count; s++) {
        struct felt_row *row = add_felt_row(m, table, frame->strands[s].name);
        row->cells[1] = felt_tension(bed, bed->pattern->tensions[s].pull, m->arena);
        row->cells[2] = felt_tension(bed, bed->even->exact[s], m->arena);
        row->cells[3] = force_words(m->arena, bed->even->rounded[s], felt_unit(bed), 2);
    }
}

/* Whether a strand has the pull of the one before it in a run of a tension line. */
static bool goes_on(const struct bed *bed, int before, int strand) {
    return strand != NO_STRAND &&
           fabs(bed->even->rounded[before] - bed->even->rounded[strand]) < 1e-6;
}

static void put_run(struct felt_maker *m, struct output *out, const char *side, int first,
                    int last) {
    const struct strand *strands = m->bed->pattern->frame->strands;
    put_format(out, "%s%s%s%d", out->length > 0 ? ", " : "", side,
               strands[first].kind == MAIN ? "M" : "C", strands[first].number);
    if (last != first)
        put_format(out, "..%s%d", strands[first].kind == MAIN ? "M" : "C", strands[last].number);
    put_format(out, " %s",
               force_words(m->arena, m->bed->even->rounded[first], felt_unit(m->bed), 2));
}

/* Strands of one side in the order of their numbers, in runs of one pull. */
static void put_runs(struct felt_maker *m, struct output *out, enum kind kind, enum side side,
                     const char *word) {
    const struct frame *frame = m->bed->pattern->frame;
    int first = NO_STRAND, last = NO_STRAND;
    for (int number = 1;; number++) {
        int strand = frame_strand(frame, kind, side, number);
        if (first != NO_STRAND && !goes_on(m->bed, first, strand)) {
            put_run(m, out, word, first, last);
            first = NO_STRAND;
        }
        if (strand == NO_STRAND) return;
        if (first == NO_STRAND) first = strand;
        last = strand;
    }
}

/* As a line of the pattern, in the place of its own tension. */
static const char *even_line(struct felt_maker *m) {
    const struct frame *frame = m->bed->pattern->frame;
    struct output out = output_to(m->arena);
    int centre = frame_strand(frame, MAIN, SIDE_CENTRE, 0);
    if (centre != NO_STRAND) put_run(m, &out, "", centre, centre);
    bool turned = m->bed->pattern->mirrored; /* the text has its own sides */
    put_runs(m, &out, MAIN, turned ? SIDE_RIGHT : SIDE_LEFT, "left ");
    put_runs(m, &out, MAIN, turned ? SIDE_LEFT : SIDE_RIGHT, "right ");
    put_runs(m, &out, CROSS, SIDE_CENTRE, "");
    return format(m->arena, "tension %s", output_text(&out));
}

void add_even_pulls(struct felt_maker *m) {
    add_even_facts(m);
    if (m->bed->even->result == EVEN_IMPOSSIBLE) return;
    if (m->bed->even_sweep != NULL) add_even_spread(m);
    add_even_table(m);
    m->felt->line = even_line(m);
}
