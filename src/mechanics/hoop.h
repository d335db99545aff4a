/* The hoop as a closed ring of straight elements: nodes at the holes, where supports bear, at both
 * ends of the centre line and at the widest place, and between them so that no element is too long.
 * Lengths in mm. Lives in the arena it is made in and points to the frame. */
#ifndef SELVAGE_MECHANICS_HOOP_H
#define SELVAGE_MECHANICS_HOOP_H

#include "frame/frame.h"
#include "mechanics/supports.h"

#define LONGEST_ELEMENT_MM 8.0
/* Places nearer to each other than this along the hoop are one node. */
#define SAME_NODE_MM 1.0

/* Where supports bear: those of several mounts may be in one ring. */
struct bearing {
    double clock;
    enum support_side side;
    int node;
    struct point push; /* unit vector in which it pushes */
};

/* Two places whose distance is of interest: the strands, then the gauges. */
struct hoop_line {
    int nodes[2];
    double length;
    struct point along; /* unit vector from the first to the second */
};

enum gauge { GAUGE_WIDTH, GAUGE_LENGTH, GAUGES };

struct hoop {
    const struct frame *frame;
    int node_count;
    double *arcs;        /* by node, rising; clockwise from the head's centre line */
    struct point *nodes; /* on the inside of the hoop */
    bool *throat;        /* by element, from its node to the next: from the last cross's hole on one
                            side round the throat to that on the other */
    int *hole_nodes;
    int head, throat_middle; /* nodes on the centre line */
    struct hoop_line *lines; /* strands in the frame's order; width at its widest, length from head
                                to throat */
    int strand_count, line_count;
    struct bearing *bearings;
    int bearing_count;
    struct point middle; /* mean of the nodes */
};

/* The ring of a placed frame, with nodes for the supports of all the mounts. */
const struct hoop *hoop_of(const struct frame *frame, const struct supports *mounts,
                           int mount_count, double longest_element, struct arena *arena);

/* The bearing of a support, or -1 where its mount was not among those of the ring. */
int hoop_bearing(const struct hoop *hoop, const struct support *support);

#endif
