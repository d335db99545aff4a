/* How stiff a hoop is, from what it takes to squeeze it: two opposed forces on the bare head, not
 * mounted. */
#ifndef SELVAGE_MECHANICS_SQUEEZE_H
#define SELVAGE_MECHANICS_SQUEEZE_H

#include "mechanics/compliance.h"

/* Newtons that make the head 1 mm narrower at its widest, and shorter from head to throat. */
struct squeezes {
    double wide, lengthwise;
};

/* Of a hoop of given stiffness. False where it cannot be solved. */
bool squeezes_of(const struct hoop *hoop, struct hoop_stiffness stiffness,
                 const struct algebra *algebra, struct arena *arena, struct squeezes *squeezes);

#define LEAST_THROAT 0.25
#define MOST_THROAT 16.0

enum squeeze_fit {
    SQUEEZE_FITS,
    SQUEEZE_TOO_STIFF, /* no bending stiffness reaches it: the hoop's length gives more */
    SQUEEZE_NO_THROAT, /* no throat from LEAST_THROAT to MOST_THROAT has both */
    SQUEEZE_CANNOT_BE_SOLVED
};

/* Sets the bending stiffness so that the hoop takes `measured.wide`; and, unless
 * `measured.lengthwise` is 0, the throat's factor so that it takes that as well. E A stays. What is
 * given in `stiffness` is where the search begins; it is left as it is where nothing fits. */
enum squeeze_fit fit_squeezes(const struct hoop *hoop, struct squeezes measured,
                              struct hoop_stiffness *stiffness, const struct algebra *algebra,
                              struct arena *arena);

#endif
