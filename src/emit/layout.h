/* Where things lie in the drawing: the page, the hoop's edges, loops outside it, pieces of strands
 * with their gaps, places for names and numbers. In mm of the racket, origin as in the frame model;
 * `unit` is how many of them make a mm on A4 paper. Draws nothing. */
#ifndef SELVAGE_EMIT_LAYOUT_H
#define SELVAGE_EMIT_LAYOUT_H

#include "pattern/pattern.h"

/* Cubic curves end to end: a first point, then three for each curve, its two handles and its end.
 */
struct curve {
    struct point *at;
    int count; /* of curves */
};

/* A piece of a strand between two gaps. */
struct piece {
    struct point from, to;
};

struct strand_layout {
    int end, pass;
    int pull; /* from 1, in the order of pulls */
    struct piece *pieces;
    int piece_count;
    struct point name_at[2];           /* near where it enters and where it leaves */
    struct point number_at;            /* near its middle */
    struct point arrow_tip, arrow_way; /* near where it leaves; unit vector */
};

struct loop_layout {
    struct curve path;
    int number; /* from 1 within its end */
};

struct layout {
    const struct pattern *pattern;
    double unit;
    double left, top, width, height;                   /* the page */
    struct curve inner, outer;                         /* edges of the hoop, closed */
    struct point *hole_middle;                         /* by hole: the middle of its wall */
    struct point *hole_outside;                        /* by hole: where it opens outside */
    struct point *number_at;                           /* by hole: its number, clear of the loops */
    struct loop_layout *loops;                         /* as the pattern's loops */
    struct strand_layout *strands;                     /* by strand */
    double content_top, content_bottom, content_right; /* what the frame with its numbers takes */
};

/* Sizes in mm on A4 paper; times `unit` they are sizes in the drawing. */
#define NUMBER_SIZE 2.5
#define NAME_SIZE 2.3
#define LEGEND_SIZE 2.7
#define LEGEND_ROW 4.4
#define LEGEND_MARGIN 7.0

struct layout *lay_out_drawing(const struct pattern *pattern, struct arena *arena);

#endif
