/* The hoop's inside before the first pull, at the one that bends it most, and off the machine: how
 * far it moves is drawn so much larger that it is seen. */
#include "emit/bedpanel.h"
#include "emit/type.h"

#include <math.h>

/* Of the width: what the largest displacement is drawn as, about. */
static const double SEEN = 0.08;
static const double SUPPORT = 2.6;   /* mm on paper */
static const double LEAST_ROOM = 30; /* for words, mm on paper */

struct shape {
    const struct bed_picture *picture;
    const struct hoop *hoop;
    const struct state *most, *off;
    struct view view;
    double factor;
};

static struct point moved(const struct shape *shape, const struct state *state, int node) {
    struct point at = shape->hoop->nodes[node];
    if (state == NULL) return at;
    const double *shift = &state->shifts[node * FREEDOMS];
    return (struct point){at.x + shape->factor * shift[0], at.y + shape->factor * shift[1]};
}

static double largest_shift(const struct hoop *hoop, const struct state *state) {
    double most = 0;
    for (int i = 0; i < hoop->node_count; i++) {
        const double *shift = &state->shifts[i * FREEDOMS];
        most = fmax(most, sqrt(shift[0] * shift[0] + shift[1] * shift[1]));
    }
    return most;
}

/* The round number with which it comes nearest to what is wanted: 1, 2, 5, 10 ... */
static double round_factor(double wanted) {
    static const double sizes[] = {1, 2, 5};
    double best = 1;
    for (double ten = 1; ten < 1e6; ten *= 10)
        for (int i = 0; i < 3; i++)
            if (fabs(log(sizes[i] * ten / wanted)) < fabs(log(best / wanted)))
                best = sizes[i] * ten;
    return best;
}

/* A closed curve through the nodes, as smooth as they lie. */
static void put_ring(const struct shape *shape, const char *id, const char *class_name,
                     const char *title, const struct state *state) {
    struct output *out = shape->picture->out;
    int count = shape->hoop->node_count;
    struct point *at = arena_many(out->arena, struct point, count + 1);
    for (int i = 0; i < count; i++)
        at[i] = on_paper(shape->view, moved(shape, state, i));
    put_format(out, "<g id=\"%s%s\">", shape->picture->prefix, id);
    svg_title(out, title);
    put_format(out, "<path class=\"%s\" d=\"", class_name);
    svg_move(out, at[0]);
    for (int i = 0; i < count; i++) {
        struct point p = at[(i + count - 1) % count], a = at[i], b = at[(i + 1) % count],
                     n = at[(i + 2) % count];
        struct point cubic[] = {{a.x + (b.x - p.x) / 6, a.y + (b.y - p.y) / 6},
                                {b.x - (n.x - a.x) / 6, b.y - (n.y - a.y) / 6},
                                b};
        svg_cubic(out, cubic);
    }
    put(out, "Z\"/></g>\n");
}

static struct point most_at(const struct shape *shape) {
    return on_paper(shape->view,
                    moved(shape, shape->most, shape->picture->bed->outcome->moment.node));
}

/* ---- the machine ---- */

/* Triangles with their tips where the machine pushes. */
static void put_supports(const struct shape *shape) {
    struct output *out = shape->picture->out;
    struct supports mount = shape->picture->bed->values.mount;
    put_format(out, "<g id=\"%ssupports\">", shape->picture->prefix);
    svg_title(out, "Where the machine bears");
    for (int i = 0; i < mount.count; i++) {
        const struct bearing *bearing =
            &shape->hoop->bearings[hoop_bearing(shape->hoop, &mount.at[i])];
        struct point push = bearing->push, across = {-push.y, push.x},
                     tip = along(on_paper(shape->view, shape->hoop->nodes[bearing->node]), push,
                                 -0.4),
                     foot = along(tip, push, -SUPPORT);
        put(out, "<path class=\"bed-support\" d=\"");
        svg_move(out, tip);
        svg_line(out, along(foot, across, SUPPORT / 2));
        svg_line(out, along(foot, across, -SUPPORT / 2));
        put(out, "Z\"/>");
    }
    put(out, "</g>\n");
}

/* ---- the words inside ---- */

struct words {
    double x, y, width; /* of what is still free */
};

static void put_key(const struct shape *shape, struct words *words, const char *sample,
                    const char *text) {
    struct output *out = shape->picture->out;
    const double length = 8, gap = 1.5;
    struct point at = {words->x, words->y - BED_WORDS * 0.36};
    svg_segment(out, sample, at, (struct point){at.x + length, at.y});
    words->y = put_bed_words(shape->picture, "bed-words",
                             (struct point){words->x + length + gap, words->y},
                             words->width - length - gap, text) +
               BED_LINE + 0.5;
}

/* The words of the largest moment, tied to where it is. */
static void put_moment(const struct shape *shape, struct words *words) {
    const struct bed_picture *picture = shape->picture;
    struct output *out = picture->out;
    const char *where =
        format(out->arena, "Bent most by %s:",
               picture->bed->pattern->frame
                   ->holes[hole_by_node(picture->bed, picture->bed->outcome->moment.node)]
                   .name);
    const char *text =
        moment_range(picture->bed->sweep->figures[0][FIGURE_MOMENT_PEAK], out->arena);
    struct point at = {words->x, words->y}, from = most_at(shape);
    double foot = put_bed_words(picture, "bed-words", at, words->width, where);
    foot = put_bed_words(picture, "bed-words", (struct point){at.x, foot + BED_LINE}, words->width,
                         text);
    double right = at.x + fmin(words->width, text_width(text, BED_WORDS));
    struct point to = {fmin(fmax(from.x, at.x - 1), right + 1),
                       fmin(fmax(from.y, at.y - BED_WORDS), foot + 1)};
    svg_segment(out, "bed-hair", from, to);
    words->y = foot + BED_LINE + 0.5;
}

static void put_most(const struct shape *shape) {
    struct output *out = shape->picture->out;
    put_format(out, "<g id=\"%smost\">", shape->picture->prefix);
    svg_title(out, "Where the hoop is bent most");
    svg_circle(out, "bed-most", most_at(shape), 1);
    put(out, "</g>\n");
}

/* Half of the width that all three shapes leave round the middle, mm of the racket. */
static double room_inside(const struct shape *shape) {
    const struct state *states[] = {NULL, shape->most, shape->off};
    double length = shape->picture->bed->pattern->frame->outline.length, least = INFINITY;
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < shape->hoop->node_count; i++) {
            struct point at = moved(shape, states[k], i);
            if (at.y > 0.25 * length && at.y < 0.65 * length) least = fmin(least, fabs(at.x));
        }
    return least;
}

/* The place of the largest moment has its words above all others, or below. */
static void put_words(const struct shape *shape) {
    const struct bed_picture *picture = shape->picture;
    const struct outline *outline = &picture->bed->pattern->frame->outline;
    struct output *out = picture->out;
    int step = step_of_event(picture->bed, picture->sheet, picture->bed->outcome->moment.event);
    double width = fmax(2 * room_inside(shape) * shape->view.scale - 4, LEAST_ROOM);
    double middle = shape->view.origin.y + outline->length * shape->view.scale * 0.43;
    struct words words = {shape->view.origin.x - width / 2, middle - 4 * BED_LINE, width};
    bool above = most_at(shape).y < middle;
    if (above) put_moment(shape, &words);
    words.y =
        put_bed_words(picture, "bed-bold", (struct point){words.x, words.y}, width / BOLD_WIDER,
                      format(out->arena, "Displacements drawn %s times as large",
                             format_decimal(out->arena, shape->factor, 0))) +
        BED_LINE + 0.5;
    put_key(shape, &words, "bed-before", "before the first pull");
    put_key(shape, &words, "bed-after", "off the machine");
    put_key(shape, &words, "bed-peak", format(out->arena, "step %d, bent most", step));
    words.y = put_bed_words(picture, "bed-words", (struct point){words.x, words.y}, width,
                            "triangles: the mount") +
              BED_LINE + 0.5;
    if (!above) put_moment(shape, &words);
}

/* ---- the whole ---- */

static void grow(struct area *box, struct point at) {
    double right = fmax(box->left + box->width, at.x), low = fmax(box->top + box->height, at.y);
    box->left = fmin(box->left, at.x);
    box->top = fmin(box->top, at.y);
    box->width = right - box->left;
    box->height = low - box->top;
}

static void place(struct shape *shape, struct area area) {
    struct area box = {0, 0, 0, 0};
    const struct state *states[] = {NULL, shape->most, shape->off};
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < shape->hoop->node_count; i++)
            grow(&box, moved(shape, states[k], i));
    double edge = SUPPORT + 1.5, top = BED_HEADING + 2;
    shape->view.scale =
        fmin((area.width - 2 * edge) / box.width, (area.height - top - 2 * edge) / box.height);
    shape->view.origin.x =
        area.left + area.width / 2 - (box.left + box.width / 2) * shape->view.scale;
    shape->view.origin.y = area.top + top + edge - box.top * shape->view.scale;
}

void put_bed_shape(const struct bed_picture *picture, struct area area) {
    const struct bed *bed = picture->bed;
    const struct outcome *outcome = bed->outcome;
    struct shape shape = {.picture = picture,
                          .hoop = bed->compliance->hoop,
                          .most = &outcome->after[outcome->moment.event],
                          .off = &outcome->off_machine};
    double most = fmax(largest_shift(shape.hoop, shape.most), largest_shift(shape.hoop, shape.off));
    shape.factor = round_factor(SEEN * bed->pattern->frame->outline.width / most);
    place(&shape, area);
    open_panel(picture, "shape", area, "B", "The shape of the hoop");
    put_words(&shape);
    put_supports(&shape);
    put_ring(&shape, "hoop-before", "bed-before", "The inside of the hoop before the first pull",
             NULL);
    put_ring(&shape, "hoop-off", "bed-after", "The same off the machine", shape.off);
    put_ring(&shape, "hoop-most", "bed-peak", "The same when it is bent most", shape.most);
    put_most(&shape);
    close_panel(picture);
}
