/* How a stringing machine holds the frame: supports round the hoop. A support only pushes. From the
 * inside it pushes outwards, as the posts at head and throat do, from the outside inwards, as
 * shoulders do; square to the hoop, without friction. */
#ifndef SELVAGE_MECHANICS_SUPPORTS_H
#define SELVAGE_MECHANICS_SUPPORTS_H

#include "pattern/kit.h"

enum support_side { SUPPORT_INSIDE, SUPPORT_OUTSIDE };

struct support {
    double clock; /* 0 to 12 as on a clock face seen from the front, 12 at the head, from the centre
                     of the box round the inside of the hoop */
    enum support_side side;
    double stiffness; /* N/mm */
};

struct supports {
    const struct support *at;
    int count;
};

/* Those of a mount, all of one stiffness in N/mm. */
struct supports supports_of(struct mount mount, double stiffness, struct arena *arena);

/* Where a clock's hand meets the inside of the hoop, as arc along it from the head's centre line,
 * clockwise, in mm. The outline has to be measured. */
double arc_at_clock(const struct outline *outline, double clock);

#endif
