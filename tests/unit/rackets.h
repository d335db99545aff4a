/* Frames for tests of the mechanics, put together by hand. */
#ifndef SELVAGE_TESTS_RACKETS_H
#define SELVAGE_TESTS_RACKETS_H

#include "frame/frame.h"
#include "mechanics/job.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

static const double RACKET_PI = 3.14159265358979323846;

enum { RACKET_ROOM = 1500 };

static inline struct frame *bare_frame(struct arena *arena, double width, double length,
                                       double exponent, double taper) {
    struct frame *frame = arena_one(arena, struct frame);
    frame->outline = (struct outline){
        .kind = OVAL, .width = width, .length = length, .exponent = exponent, .taper = taper};
    outline_measure(&frame->outline, arena);
    frame->holes = arena_many(arena, struct hole, RACKET_ROOM);
    frame->strands = arena_many(arena, struct strand, RACKET_ROOM);
    return frame;
}

static inline int add_hole(struct frame *frame, double arc) {
    struct hole *hole = &frame->holes[frame->hole_count];
    double half = frame->outline.half_arc;
    bool left = arc > half;
    hole->arc = arc;
    hole->at = outline_at(&frame->outline, left ? 2 * half - arc : arc, &hole->outward);
    if (left) {
        hole->at.x = -hole->at.x;
        hole->outward.x = -hole->outward.x;
    }
    return frame->hole_count++;
}

static inline int add_strand(struct frame *frame, enum kind kind, int from, int to) {
    struct strand *strand = &frame->strands[frame->strand_count];
    strand->kind = kind;
    strand->holes[0] = from;
    strand->holes[1] = to;
    frame->main_count += kind == MAIN;
    frame->cross_count += kind == CROSS;
    return frame->strand_count++;
}

/* The arc on the right half where x (for a main) or y (for a cross) is so much, by bisection
 * between two arcs with it on different sides. */
static inline double arc_where(const struct frame *frame, bool of_y, double value, double low,
                               double high) {
    double sign =
        of_y                                                                                   ? 1
        : outline_at(&frame->outline, high, NULL).x > outline_at(&frame->outline, low, NULL).x ? 1
                                                                                               : -1;
    for (int i = 0; i < 80; i++) {
        double middle = (low + high) / 2;
        struct point at = outline_at(&frame->outline, middle, NULL);
        if (sign * ((of_y ? at.y : at.x) - value) < 0)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* A racket with so many mains and crosses, evenly over the middle of the bed. */
static inline struct frame *usual_racket(struct arena *arena, int mains, int crosses) {
    struct frame *frame = bare_frame(arena, 186, 325, 2.2, 0.18);
    const struct outline *outline = &frame->outline;
    double half = outline->half_arc, widest = half * 0.42;
    for (int i = 0; i < mains; i++) {
        double x = ((i + 0.5) / mains - 0.5) * 120, from, to;
        from = arc_where(frame, false, fabs(x), 0, widest);
        to = arc_where(frame, false, fabs(x), widest, half);
        int head = add_hole(frame, x < 0 ? 2 * half - from : from);
        int throat = add_hole(frame, x < 0 ? 2 * half - to : to);
        add_strand(frame, MAIN, head, throat);
    }
    for (int i = 0; i < crosses; i++) {
        double y = 45 + (i + 0.5) / crosses * 230, arc = arc_where(frame, true, y, 0, half);
        int left = add_hole(frame, 2 * half - arc), right = add_hole(frame, arc);
        add_strand(frame, CROSS, left, right);
    }
    return frame;
}

/* Numbers from 0 to 1, the same in every run: a linear congruence (Knuth, Art of Computer
 * Programming 2, MMIX). */
static inline double chance(uint64_t *state) {
    *state = *state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* Strands from anywhere to anywhere else on a hoop of any usual shape, from one of so many even
 * places to another where `places` is not 0. */
static inline struct frame *wild_racket(struct arena *arena, uint64_t seed, int strands,
                                        int places) {
    uint64_t state = seed;
    double width = 150 + 120 * chance(&state), length = width * (1.1 + 0.7 * chance(&state));
    struct frame *frame =
        bare_frame(arena, width, length, 1.9 + 0.6 * chance(&state), 0.25 * chance(&state));
    double whole = 2 * frame->outline.half_arc;
    for (int i = 0; i < strands; i++) {
        double from = chance(&state) * whole;
        double to = fmod(from + whole * (0.15 + 0.7 * chance(&state)), whole);
        if (places > 0) {
            from = floor(from / whole * places) * whole / places;
            to = floor(to / whole * places) * whole / places;
        }
        int a = add_hole(frame, from), b = add_hole(frame, to);
        add_strand(frame, i < strands / 2 ? MAIN : CROSS, a, b);
    }
    return frame;
}

/* Every strand pulled once in a shuffled order, some again, some let back a little. */
static inline struct job wild_job(struct arena *arena, const struct frame *frame, uint64_t seed) {
    uint64_t state = seed;
    int n = frame->strand_count, count = 0;
    int *order = arena_many(arena, int, n);
    struct event *events = arena_many(arena, struct event, 3 * n);
    for (int i = 0; i < n; i++)
        order[i] = i;
    for (int i = n - 1; i > 0; i--) {
        int other = (int)(chance(&state) * (i + 1)), kept = order[i];
        order[i] = order[other];
        order[other] = kept;
    }
    for (int i = 0; i < n; i++) {
        double pull = 80 + 80 * chance(&state);
        events[count++] = (struct event){EVENT_PULL, order[i], pull, NO_MOVE};
        if (chance(&state) < 0.3)
            events[count++] =
                (struct event){EVENT_DRAW_BACK, order[i], 0.4 * chance(&state), NO_MOVE};
        if (chance(&state) < 0.2) {
            int again = order[(int)(chance(&state) * (i + 1))];
            events[count++] = (struct event){EVENT_PULL, again, pull + 5, NO_MOVE};
        }
    }
    return (struct job){events, count};
}

static inline double *all_strings(struct arena *arena, const struct frame *frame, double axial) {
    double *values = arena_many(arena, double, frame->strand_count + 1);
    for (int i = 0; i < frame->strand_count; i++)
        values[i] = axial;
    return values;
}

static const struct hoop_stiffness USUAL_HOOP = {70e6, 3e6, 2};

#endif
