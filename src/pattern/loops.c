/* Loops: the pieces of string outside the hoop. A loop takes the shorter way round. */
#include "pattern/stages.h"

#include <math.h>
#include <stdlib.h>

/* By how much the hoop turns between two holes, the shorter way, in radians: a curve at a distance
 * outside another is longer than it by the distance times this. */
static double turn_between(const struct frame *frame, int from, int to) {
    struct point a = frame->holes[from].outward, b = frame->holes[to].outward;
    return fabs(atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y));
}

static struct loop *add_loop(struct pattern *pattern, struct arena *arena, enum loop_kind kind,
                             int end, int pass, int from, int to, struct span span) {
    const struct frame *frame = pattern->frame;
    int count = frame->hole_count;
    struct loop *loop = array_add(arena, &pattern->loops);
    *loop =
        (struct loop){.kind = kind, .end = end, .pass = pass, .from = from, .to = to, .span = span};
    loop->clockwise = goes_clockwise(frame, from, to);
    loop->length = hoop_distance(frame, from, to);
    loop->outside = loop->length + frame->wall * turn_between(frame, from, to);
    int step = loop->clockwise ? 1 : count - 1;
    int distance = loop->clockwise ? to - from : from - to;
    loop->passes = arena_many(arena, int, (distance + count) % count);
    for (int hole = (from + step) % count; hole != to; hole = (hole + step) % count)
        loop->passes[loop->pass_count++] = hole;
    return loop;
}

/* How many holes a hole lies behind the one a loop begins at, the way the loop goes. */
static int steps_to(const struct frame *frame, const struct loop *loop, int hole) {
    int steps = loop->clockwise ? hole - loop->from : loop->from - hole;
    return steps < 0 ? steps + frame->hole_count : steps;
}

/* Whether a hole lies on the arc of a loop, its two ends included. */
static bool on_arc(const struct frame *frame, const struct loop *loop, int hole) {
    return steps_to(frame, loop, hole) <= loop->pass_count + 1;
}

static int by_length(const void *left, const void *right) {
    const struct loop *a = *(const struct loop *const *)left,
                      *b = *(const struct loop *const *)right;
    if (a->length != b->length) return a->length < b->length ? -1 : 1;
    return a < b ? -1 : a > b;
}

/* Of two loops between the same holes the later lies outside. */
static bool inside(const struct frame *frame, const struct loop *inner, const struct loop *outer) {
    return by_length(&inner, &outer) < 0 && on_arc(frame, outer, inner->from) &&
           on_arc(frame, outer, inner->to);
}

/* Levels from the shortest loop outwards: one more than the highest of those inside. */
static void stack_loops(struct pattern *pattern, struct arena *arena) {
    size_t count = pattern->loops.count;
    struct loop **order = arena_many(arena, struct loop *, count + 1);
    for (size_t i = 0; i < count; i++)
        order[i] = &pattern->loops.at[i];
    qsort(order, count, sizeof *order, by_length);
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < i; k++) {
            if (!inside(pattern->frame, order[k], order[i])) continue;
            order[i]->over++;
            if (order[k]->level >= order[i]->level) order[i]->level = order[k]->level + 1;
        }
}

static bool touches(const struct frame *frame, const struct loop *loop, int hole) {
    int steps = steps_to(frame, loop, hole);
    return steps > 0 && steps <= loop->pass_count;
}

/* The lane matters where a loop passes a hole that another loop begins or ends in. */
static void mark_lanes_that_matter(struct pattern *pattern) {
    const struct frame *frame = pattern->frame;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        struct loop *a = &pattern->loops.at[i];
        for (size_t k = 0; k < pattern->loops.count && a->pass_count > 0; k++) {
            struct loop *b = &pattern->loops.at[k];
            if (i == k) continue;
            if (touches(frame, a, b->from) || touches(frame, a, b->to))
                a->lane_matters = b->lane_matters = true;
        }
    }
}

static void loops_of_thread(struct pattern *pattern, struct arena *arena, const struct act *act) {
    const struct end *end = &pattern->ends[act->end];
    const struct pass *pass = &end->passes.at[act->pass];
    if (act->pass > 0) {
        add_loop(pattern, arena, LOOP_BETWEEN, act->end, act->pass,
                 end->passes.at[act->pass - 1].leave, pass->enter, act->span);
        return;
    }
    if (end->start.hole != NO_HOLE)
        add_loop(pattern, arena, LOOP_START, act->end, 0, end->start.hole, pass->enter,
                 end->start.span);
}

/* The fold joins the first holes of the two ends of a string. */
static void fold_loop(struct pattern *pattern, struct arena *arena, int one, int other) {
    const struct end *a = &pattern->ends[one], *b = &pattern->ends[other];
    if (a->passes.count > 0 && b->passes.count > 0)
        add_loop(pattern, arena, LOOP_FOLD, one, 0, a->passes.at[0].enter, b->passes.at[0].enter,
                 b->passes.at[0].thread_span);
}

void find_loops(struct pattern *pattern, struct arena *arena) {
    array_reserve(arena, &pattern->loops, pattern->frame->strand_count + 4);
    fold_loop(pattern, arena, 0, 1);
    for (size_t i = 0; i < pattern->acts.count; i++) {
        const struct act *act = &pattern->acts.at[i];
        const struct end *end = &pattern->ends[act->end];
        if (act->kind == ACT_THREAD) loops_of_thread(pattern, arena, act);
        if (act->kind == ACT_TIE && end->tie.hole != NO_HOLE)
            add_loop(pattern, arena, LOOP_TIE, act->end, (int)end->passes.count - 1,
                     end->passes.at[end->passes.count - 1].leave, end->tie.hole, act->span);
    }
    stack_loops(pattern, arena);
    mark_lanes_that_matter(pattern);
}
