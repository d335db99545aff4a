/* How a stringing machine holds the frame: supports round the hoop. A support only pushes. From the
 * inside it pushes outwards, as the posts at head and throat do, from the outside inwards, as
 * shoulders do; square to the hoop, without friction. */
#ifndef SELVAGE_MECHANICS_MOUNT_H
#define SELVAGE_MECHANICS_MOUNT_H

#include "frame/outline.h"

enum bearing_side { BEARS_INSIDE, BEARS_OUTSIDE };

struct support {
    double clock; /* 0 to 12 as on a clock face seen from the front, 12 at the head, from the centre
                     of the box round the inside of the hoop */
    enum bearing_side side;
    double stiffness; /* N/mm */
};

struct mount {
    const struct support *supports;
    int count;
};

/* Posts inside at 12 and 6; the same with shoulders outside at 2, 4, 8 and 10. */
enum mount_kind { MOUNT_TWO_POINT, MOUNT_SIX_POINT };

/* All supports of one stiffness, in N/mm. */
struct mount mount_of_kind(enum mount_kind kind, double stiffness, struct arena *arena);

/* Where a clock's hand meets the inside of the hoop, as arc along it from the head's centre line,
 * clockwise, in mm. The outline has to be measured. */
double arc_at_clock(const struct outline *outline, double clock);

#endif
