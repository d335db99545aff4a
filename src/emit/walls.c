/* The wall in the drawing: how large its holes are shown, and the way of every string through
 * them. */
#include "emit/layout.h"

#include <math.h>
#include <stdlib.h>

/* mm of the racket */
static const double BESIDE = 2.5;       /* between the middles of two strings in one hole */
static const double HOLE_GAP = 0.9;     /* kept between circles, their lines included */
static const double LEAST_SCALE = 0.35; /* below that a circle is a dot: then they touch */

int passage_of_strand(int strand, int leaving) { return 2 * strand + leaving; }

int passage_of_knot(const struct pattern *pattern, int end, int tie) {
    return 2 * (pattern->frame->strand_count + end) + tie;
}

bool is_knot_hole(const struct pattern *pattern, int hole) {
    for (int e = 0; e < pattern->end_count; e++)
        if (pattern->ends[e].tie.hole == hole || pattern->ends[e].start.hole == hole) return true;
    return false;
}

bool is_first_hole(const struct pattern *pattern, int hole) {
    for (int e = 0; e < pattern->end_count; e++)
        if (pattern->ends[e].passes.at[0].enter == hole) return true;
    return false;
}

static double full_radius(const struct pattern *pattern, int hole) {
    const struct hole *at = &pattern->frame->holes[hole];
    bool large = at->tie_off || at->strand_count > 1 || is_knot_hole(pattern, hole);
    return large ? KNOT_RADIUS : HOLE_RADIUS;
}

/* Circles shrink with those beside them until they stand apart. */
void scale_holes(struct layout *layout, struct arena *arena) {
    const struct pattern *pattern = layout->pattern;
    int count = pattern->frame->hole_count;
    layout->hole_scale = arena_many(arena, double, count + 1);
    for (int i = 0; i < count; i++)
        layout->hole_scale[i] = 1;
    for (int i = 0; i < count; i++) {
        int next = (i + 1) % count;
        struct point a = layout->hole_middle[i], b = layout->hole_middle[next];
        double room = hypot(a.x - b.x, a.y - b.y) - HOLE_GAP;
        double scale = room / (full_radius(pattern, i) + full_radius(pattern, next));
        if (scale < LEAST_SCALE) scale = LEAST_SCALE;
        layout->hole_scale[i] = fmin(layout->hole_scale[i], scale);
        layout->hole_scale[next] = fmin(layout->hole_scale[next], scale);
    }
}

/* ---- passages ---- */

/* The passages of the two ends of a loop. */
static void join_loops(struct layout *layout) {
    const struct pattern *pattern = layout->pattern;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        struct loop_layout *at = &layout->loops[i];
        const struct end *end = &pattern->ends[loop->end];
        int to = end->passes.at[loop->pass].strand;
        at->to = passage_of_strand(to, 0);
        switch (loop->kind) {
        case LOOP_FOLD:
            at->from = passage_of_strand(end->passes.at[0].strand, 0);
            at->to = passage_of_strand(
                pattern->ends[other_end(pattern, loop->end)].passes.at[0].strand, 0);
            break;
        case LOOP_START: at->from = passage_of_knot(pattern, loop->end, 0); break;
        case LOOP_BETWEEN:
            at->from = passage_of_strand(end->passes.at[loop->pass - 1].strand, 1);
            break;
        case LOOP_TIE:
            at->from = passage_of_strand(to, 1);
            at->to = passage_of_knot(pattern, loop->end, 1);
            break;
        }
        layout->passages[at->from].loop = layout->passages[at->to].loop = (int)i;
        layout->passages[at->from].clockwise = loop->clockwise;
        layout->passages[at->to].clockwise = !loop->clockwise;
    }
}

/* Where a passage belongs among those of its hole, counted clockwise, so that loops nest: those
 * that leave clockwise come last, the nearer to the hoop the later. */
static int order_outside(const struct layout *layout, const struct passage *passage) {
    enum { FAR = 1 << 20 };
    if (passage->loop < 0) return 0;
    int depth = FAR - layout->loops[passage->loop].track;
    return passage->clockwise ? depth : -depth;
}

/* Where a strand belongs among those of its hole, as it comes out of the bed. */
static double order_inside(const struct layout *layout, int number) {
    const struct frame *frame = layout->pattern->frame;
    const struct hole *hole = &frame->holes[layout->passages[number].hole],
                      *far = &frame->holes[layout->passages[number ^ 1].hole];
    struct point round = onwards(hole->outward);
    double x = far->at.x - hole->at.x, y = far->at.y - hole->at.y;
    return (x * round.x + y * round.y) / hypot(x, y);
}

/* The passages of one hole, side by side. */
static void spread(struct layout *layout, const int *numbers, int count) {
    const struct frame *frame = layout->pattern->frame;
    int first_strand = -1;
    for (int i = 0; i < count; i++) {
        struct passage *passage = &layout->passages[numbers[i]];
        const struct hole *hole = &frame->holes[passage->hole];
        double beside = (i - (count - 1) / 2.0) * BESIDE * layout->hole_scale[passage->hole];
        passage->shared = count > 1;
        passage->inside = along(hole->at, onwards(hole->outward), beside);
        passage->outside = along(passage->inside, hole->outward, frame->wall);
        if (numbers[i] >= 2 * frame->strand_count) { /* as far as its knot */
            passage->inside = along(passage->outside, hole->outward, -frame->wall / 2);
            continue;
        }
        if (first_strand < 0) {
            first_strand = numbers[i];
        } else if (order_inside(layout, first_strand) > order_inside(layout, numbers[i])) {
            struct passage *other = &layout->passages[first_strand];
            struct point inside = other->inside;
            other->inside = passage->inside;
            passage->inside = inside;
            other->changes_sides = passage->changes_sides = true;
        }
    }
}

/* The order of all passages: by hole, within a hole clockwise. */
struct spot {
    int hole, order, number;
};

static int by_spot(const void *left, const void *right) {
    const struct spot *a = left, *b = right;
    if (a->hole != b->hole) return a->hole < b->hole ? -1 : 1;
    if (a->order != b->order) return a->order < b->order ? -1 : 1;
    return a->number < b->number ? -1 : a->number > b->number;
}

void lay_out_passages(struct layout *layout, struct arena *arena) {
    const struct pattern *pattern = layout->pattern;
    int count = layout->passage_count = 2 * (pattern->frame->strand_count + pattern->end_count);
    struct passage *passages = layout->passages = arena_many(arena, struct passage, count);
    for (int e = 0; e < pattern->end_count; e++) {
        const struct end *end = &pattern->ends[e];
        for (size_t i = 0; i < end->passes.count; i++) {
            const struct pass *pass = &end->passes.at[i];
            for (int k = 0; k < 2; k++)
                passages[passage_of_strand(pass->strand, k)] = (struct passage){
                    .hole = k == 0 ? pass->enter : pass->leave, .end = e, .loop = -1};
        }
        for (int k = 0; k < 2; k++)
            passages[passage_of_knot(pattern, e, k)] = (struct passage){
                .hole = k == 0 ? end->start.hole : end->tie.hole, .end = e, .loop = -1};
    }
    join_loops(layout);
    struct spot *spots = arena_many(arena, struct spot, count);
    int *numbers = arena_many(arena, int, count);
    for (int i = 0; i < count; i++)
        spots[i] = (struct spot){passages[i].hole, order_outside(layout, &passages[i]), i};
    qsort(spots, (size_t)count, sizeof *spots, by_spot);
    for (int i = 0, stop; i < count; i = stop) {
        for (stop = i; stop < count && spots[stop].hole == spots[i].hole; stop++)
            numbers[stop] = spots[stop].number;
        if (spots[i].hole != NO_HOLE) spread(layout, &numbers[i], stop - i);
    }
}
