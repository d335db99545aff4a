/* The hoop's inside before the first pull, with the mains alone, at the pull that bends it most,
 * and off the machine: how far it moves is drawn so much larger that it is seen. Its words stand in
 * the hoop, or beside or below it where it has no room for them. */
#include "emit/bedpanel.h"
#include "emit/type.h"

#include <math.h>

/* Of the width: what the largest displacement is drawn as, about. */
static const double SEEN = 0.08;
static const double SUPPORT = 2.6; /* mm on paper */
static const double EDGE = SUPPORT + 1.5;
static const double LEAST_ROOM = 34, MOST_ROOM = 70; /* for words, mm on paper */

/* Of the hoop, before the first pull and then. */
enum { BEFORE, OFF, MOST, MAINS, STATES };

struct shape {
    const struct bed_picture *picture;
    const struct hoop *hoop;
    const struct state *states[STATES]; /* none BEFORE; MAINS: NULL where it is not drawn */
    int mains;                          /* event of MAINS */
    double factor;
    struct view view;
    double foot; /* of the hoop with its supports, on paper */
};

static struct point moved(const struct shape *shape, int state, int node) {
    struct point at = shape->hoop->nodes[node];
    if (shape->states[state] == NULL) return at;
    const double *shift = &shape->states[state]->shifts[node * FREEDOMS];
    return (struct point){at.x + shape->factor * shift[0], at.y + shape->factor * shift[1]};
}

static double largest_shift(const struct shape *shape) {
    double most = 0;
    for (int state = 0; state < STATES; state++)
        for (int i = 0; i < shape->hoop->node_count && shape->states[state] != NULL; i++) {
            const double *shift = &shape->states[state]->shifts[i * FREEDOMS];
            most = fmax(most, sqrt(shift[0] * shift[0] + shift[1] * shift[1]));
        }
    return most;
}

/* The last event before the first cross is pulled; NO_EVENT where there is none. */
static int event_before_crosses(const struct bed *bed) {
    for (int e = 0; e < bed->job.count; e++)
        if (bed->pattern->frame->strands[bed->job.events[e].strand].kind == CROSS)
            return e > 0 ? e - 1 : NO_EVENT;
    return NO_EVENT;
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
                     const char *title, int state) {
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
    return on_paper(shape->view, moved(shape, MOST, shape->picture->bed->outcome->moment.node));
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

/* ---- the words ---- */

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
        format(out->arena, "Bent most on the machine by %s:",
               node_words(picture->bed, picture->bed->outcome->moment.node, out->arena));
    const char *text =
        moment_range(picture->bed->sweep->figures[0][FIGURE_MOMENT_PEAK], out->arena);
    struct point at = {words->x, words->y}, from = most_at(shape);
    double foot = put_bed_words(picture, "bed-words", at, words->width, where);
    foot = put_bed_words(picture, "bed-words", (struct point){at.x, foot + BED_LINE}, words->width,
                         text);
    double right = at.x + words->width; /* clear of the other words */
    if (from.x < right) right = at.x + fmin(words->width, text_width(text, BED_WORDS));
    struct point to = {fmin(fmax(from.x, at.x - 1), right + 1),
                       fmin(fmax(from.y, at.y - BED_WORDS), foot + 1)};
    svg_segment(out, "bed-hair", from, to);
    words->y = foot + BED_LINE + 0.5;
}

static void put_most(const struct shape *shape) {
    struct output *out = shape->picture->out;
    put_format(out, "<g id=\"%smost\">", shape->picture->prefix);
    svg_title(out, "Where the hoop is bent most on the machine");
    svg_circle(out, "bed-most", most_at(shape), 1);
    put(out, "</g>\n");
}

static int step_of(const struct shape *shape, int event) {
    return step_of_event(shape->picture->bed, shape->picture->sheet, event);
}

/* From where the first line stands on; gives the foot of the last. */
static double put_words(const struct shape *shape, struct words words, bool moment_first) {
    const struct bed_picture *picture = shape->picture;
    struct arena *arena = picture->out->arena;
    if (moment_first) put_moment(shape, &words);
    words.y = put_bed_words(picture, "bed-bold", (struct point){words.x, words.y},
                            words.width / BOLD_WIDER,
                            format(arena, "Displacements drawn %s times as large",
                                   format_decimal(arena, shape->factor, 0))) +
              BED_LINE + 0.5;
    put_key(shape, &words, "bed-before", "before the first pull");
    if (shape->states[MAINS] != NULL)
        put_key(shape, &words, "bed-mains",
                format(arena, "after the last main before the crosses, step %d",
                       step_of(shape, shape->mains)));
    put_key(shape, &words, "bed-after", "off the machine");
    put_key(shape, &words, "bed-peak",
            format(arena, "most on the machine: step %d",
                   step_of(shape, picture->bed->outcome->moment.event)));
    words.y = put_bed_words(picture, "bed-words", (struct point){words.x, words.y}, words.width,
                            "triangles: the mount") +
              BED_LINE + 0.5;
    if (!moment_first) put_moment(shape, &words);
    return words.y - BED_LINE - 0.5;
}

static double height_of_words(const struct shape *shape, double width) {
    struct output nowhere = output_to(shape->picture->out->arena);
    struct bed_picture picture = *shape->picture;
    struct shape measured = *shape;
    picture.out = &nowhere;
    measured.picture = &picture;
    return put_words(&measured, (struct words){0, BED_WORDS, width}, false);
}

/* ---- where they stand ---- */

/* The width that every shape leaves on both sides of the middle between two heights on paper; none
 * where a head or throat lies between them. */
static double room_between(const struct shape *shape, double top, double foot) {
    double least = INFINITY;
    for (int state = 0; state < STATES; state++)
        for (int i = 0; i < shape->hoop->node_count; i++) {
            struct point at = on_paper(shape->view, moved(shape, state, i));
            if (at.y > top - EDGE && at.y < foot + EDGE)
                least = fmin(least, fabs(at.x - shape->view.origin.x));
        }
    return 2 * least - 4;
}

/* As wide as there is room for them, so that they are low. */
static bool words_go_inside(const struct shape *shape, struct words *words) {
    double middle = shape->view.origin.y +
                    shape->view.scale * 0.45 * shape->picture->bed->pattern->frame->outline.length;
    for (double width = MOST_ROOM; width >= LEAST_ROOM; width -= 1) {
        double half = height_of_words(shape, width) / 2;
        if (room_between(shape, middle - half, middle + half) < width) continue;
        *words = (struct words){shape->view.origin.x - width / 2, middle - half + BED_WORDS, width};
        return true;
    }
    return false;
}

/* ---- the whole ---- */

static void grow(struct area *box, struct point at) {
    double right = fmax(box->left + box->width, at.x), low = fmax(box->top + box->height, at.y);
    box->left = fmin(box->left, at.x);
    box->top = fmin(box->top, at.y);
    box->width = right - box->left;
    box->height = low - box->top;
}

/* The hoop as large as an area has room for it below the heading. */
static struct shape placed(struct shape shape, struct area area) {
    struct area box = {0, 0, 0, 0};
    for (int state = 0; state < STATES; state++)
        for (int i = 0; i < shape.hoop->node_count; i++)
            grow(&box, moved(&shape, state, i));
    double top = BED_HEADING + 2;
    shape.view.scale =
        fmin((area.width - 2 * EDGE) / box.width, (area.height - top - 2 * EDGE) / box.height);
    shape.view.origin.x =
        area.left + area.width / 2 - (box.left + box.width / 2) * shape.view.scale;
    shape.view.origin.y = area.top + top + EDGE - box.top * shape.view.scale;
    shape.foot = area.top + top + 2 * EDGE + box.height * shape.view.scale;
    return shape;
}

/* The hoop with its words: in it, or else beside or below, wherever it stays larger. */
static void lay_out(struct shape *shape, struct area area, struct words *words) {
    *shape = placed(*shape, area);
    if (words_go_inside(shape, words)) return;
    const double gap = 3, aside = fmin(MOST_ROOM, 0.48 * area.width);
    double height = height_of_words(shape, area.width);
    struct area left = area, above = area;
    left.width -= aside + gap;
    above.height -= height + gap;
    struct shape beside = placed(*shape, left), below = placed(*shape, above);
    if (beside.view.scale > below.view.scale) {
        double middle = (area.top + BED_HEADING + 2 + beside.foot) / 2;
        *words = (struct words){
            area.left + left.width + gap,
            fmax(area.top + BED_HEADING + 2, middle - height_of_words(shape, aside) / 2) +
                BED_WORDS,
            aside};
        *shape = beside;
    } else {
        *words = (struct words){area.left, below.foot + gap + BED_WORDS, area.width};
        *shape = below;
    }
}

void put_bed_shape(const struct bed_picture *picture, struct area area) {
    const struct bed *bed = picture->bed;
    const struct outcome *outcome = bed->outcome;
    int most = outcome->moment.event;
    struct shape shape = {.picture = picture,
                          .hoop = bed->compliance->hoop,
                          .states = {[OFF] = &outcome->off_machine, [MOST] = &outcome->after[most]},
                          .mains = event_before_crosses(bed)};
    if (shape.mains != NO_EVENT && step_of(&shape, shape.mains) != step_of(&shape, most))
        shape.states[MAINS] = &outcome->after[shape.mains];
    shape.factor = round_factor(SEEN * bed->pattern->frame->outline.width / largest_shift(&shape));
    struct words words;
    lay_out(&shape, area, &words);
    bool moment_first = most_at(&shape).y < words.y + height_of_words(&shape, words.width) / 2;
    open_panel(picture, "shape", area, "B", "The shape of the hoop");
    put_words(&shape, words, moment_first);
    put_supports(&shape);
    put_ring(&shape, "hoop-before", "bed-before", "The inside of the hoop before the first pull",
             BEFORE);
    put_ring(&shape, "hoop-off", "bed-after", "The same off the machine", OFF);
    if (shape.states[MAINS] != NULL)
        put_ring(&shape, "hoop-mains", "bed-mains",
                 "The same after the last main before the crosses", MAINS);
    put_ring(&shape, "hoop-most", "bed-peak", "The same when it is bent most on the machine", MOST);
    put_most(&shape);
    close_panel(picture);
}
