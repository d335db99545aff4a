/* The numbers that say how stiff everything is, what is assumed where nobody says, and how far the
 * truth may lie from that. */
#ifndef SELVAGE_MECHANICS_VALUES_H
#define SELVAGE_MECHANICS_VALUES_H

#include "mechanics/compliance.h"

struct values {
    struct hoop_stiffness hoop;
    const double *string_axial; /* E A by strand, N */
    struct supports mount;
};

/* E I in the plane of the strings, N mm2. Assumed: a hollow section of 12 by 20 mm with walls of
 * 1 mm and E of 50 GPa has 69e6; a tennis hoop is about three times as stiff. */
#define ASSUMED_BENDING_SQUASH 70e6
#define ASSUMED_BENDING_TENNIS 200e6
/* E A, N. Assumed: the same section. */
#define ASSUMED_AXIAL 3e6
/* How much stiffer the hoop is from the last cross round the throat. Assumed. */
#define ASSUMED_THROAT 2.0
/* Of each support, N/mm. Assumed; as is the mount, six points. */
#define ASSUMED_SUPPORT 2000.0
/* mm that a clamp gives back. Assumed; some give up to 1 mm, about 20 N. */
#define ASSUMED_DRAW_BACK 0.0

/* By the sport of a frame, which may be NULL; what is neither squash nor tennis is taken for
 * squash. */
double assumed_bending(const char *sport);

#endif
