/* The strung bed as a whole: its extent, its area, how close its strands lie. It is bordered by the
 * entry points: the holes at the inside of the hoop that a strand passes. Lengths in mm. All of it
 * needs a frame whose holes are placed. */
#ifndef SELVAGE_FRAME_BED_H
#define SELVAGE_FRAME_BED_H

#include "frame/frame.h"

struct extent {
    double left, right, head, throat; /* 0 all four where no hole is used */
};

struct extent bed_extent(const struct frame *frame);

/* The area of the polygon of the entry points in ring order, in mm2: the shoelace formula. */
double bed_area(const struct frame *frame);

/* How wide that polygon is where it reaches beyond `y` towards the throat; 0 where it does not. */
double bed_width_beyond(const struct frame *frame, double y);

/* The longest strand, or NO_STRAND. */
int longest_strand(const struct frame *frame);

/* The mean distance of neighbouring mains on the middle line across the bed, or of neighbouring
 * crosses on the centre line, in each third of the way from the first of them to the last. False
 * where a third holds fewer than two distances: too few to be compared. */
bool bed_thirds(const struct frame *frame, enum kind kind, double mean[3]);

#endif
