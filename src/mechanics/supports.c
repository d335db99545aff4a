/* From a mount to supports, and where they meet the hoop. */
#include "mechanics/supports.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

struct supports supports_of(struct mount mount, double stiffness, struct arena *arena) {
    struct support *supports = arena_many(arena, struct support, mount.point_count + 1);
    for (int i = 0; i < mount.point_count; i++)
        supports[i] =
            (struct support){mount.points[i].clock,
                             mount.points[i].inside ? SUPPORT_INSIDE : SUPPORT_OUTSIDE, stiffness};
    return (struct supports){supports, mount.point_count};
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
