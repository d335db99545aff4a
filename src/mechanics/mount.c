/* The usual mounts, and where a support meets the hoop. */
#include "mechanics/mount.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

struct mount mount_of_kind(enum mount_kind kind, double stiffness, struct arena *arena) {
    static const struct support usual[] = {{12, BEARS_INSIDE, 0}, {6, BEARS_INSIDE, 0},
                                           {2, BEARS_OUTSIDE, 0}, {4, BEARS_OUTSIDE, 0},
                                           {8, BEARS_OUTSIDE, 0}, {10, BEARS_OUTSIDE, 0}};
    int count = kind == MOUNT_TWO_POINT ? 2 : (int)(sizeof usual / sizeof *usual);
    struct support *supports = arena_many(arena, struct support, count);
    for (int i = 0; i < count; i++) {
        supports[i] = usual[i];
        supports[i].stiffness = stiffness;
    }
    return (struct mount){supports, count};
}

/* How far a point of the right half lies beyond a hand of the clock, going round: the cross product
 * of both, seen from the centre. */
static double beyond_hand(const struct outline *outline, double arc, double angle) {
    struct point at = outline_at(outline, arc, NULL);
    return sin(angle) * (at.y - outline->length / 2) + cos(angle) * at.x;
}

double arc_at_clock(const struct outline *outline, double clock) {
    double hour = fmod(clock, 12), whole = 2 * outline->half_arc;
    if (hour == 0) return 0;
    if (hour == 6) return outline->half_arc;
    bool left = hour > 6;
    double angle = (left ? 12 - hour : hour) * PI / 6;
    double low = 0, high = outline->half_arc;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        if (beyond_hand(outline, middle, angle) < 0)
            low = middle;
        else
            high = middle;
    }
    return left ? whole - low : low;
}
