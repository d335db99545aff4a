/* How the hoop gives way: what one newton along each line and at each support does to all of them.
 * Loads are numbered strands, gauges, bearings, in the order of the hoop. A load on a line draws
 * its two ends together; one on a bearing pushes as the bearing does. */
#ifndef SELVAGE_MECHANICS_COMPLIANCE_H
#define SELVAGE_MECHANICS_COMPLIANCE_H

#include "mechanics/algebra.h"
#include "mechanics/hoop.h"

/* Of the hoop, bent in the plane of the strings. */
struct hoop_stiffness {
    double bending; /* E I, N mm2 */
    double axial;   /* E A, N */
    double throat;  /* by what factor both are larger round the throat */
};

enum { RIGID_MOTIONS = 3, FREEDOMS = 3 }; /* along x, along y, turning; of the hoop, of a node */

struct compliance {
    const struct hoop *hoop;
    struct hoop_stiffness stiffness;
    int load_count, first_bearing;
    double *matrix; /* by two loads: mm for a newton. It is symmetric. The hoop as a whole neither
                       moves nor turns: the mean of its nodes stays */
    double *rigid;  /* by bearing, RIGID_MOTIONS each: how far it moves along its push where the
                       whole moves by 1 mm along x, along y, turns by 1 rad round the middle */
    double motion_square[RIGID_MOTIONS]; /* mean over the nodes of the square of such a motion */
    double *moments; /* by load and node: N mm for a newton; positive where it bends the hoop more
                        sharply, the inside of the wall in compression */
    double *shifts;  /* by load and node, FREEDOMS each: mm, mm, rad; NULL where not asked for */
};

enum compliance_parts { COMPLIANCE_BARE = 0, COMPLIANCE_MOMENTS = 1, COMPLIANCE_SHIFTS = 2 };

/* Euler-Bernoulli elements with axial stiffness in a plane, as in any book on frames. NULL where
 * the numbers are beyond what can be solved: not positive, or too far apart. */
const struct compliance *compliance_of(const struct hoop *hoop, struct hoop_stiffness stiffness,
                                       int parts, const struct algebra *algebra,
                                       struct arena *arena);

/* mm for a newton. */
static inline double gives(const struct compliance *compliance, int at, int by) {
    return compliance->matrix[at * compliance->load_count + by];
}

/* The stiffness of an element between its two nodes' freedoms. */
void element_stiffness(const struct hoop *hoop, struct hoop_stiffness stiffness, int element,
                       double matrix[2 * FREEDOMS][2 * FREEDOMS]);

#endif
