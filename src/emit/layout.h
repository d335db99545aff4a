/* Where things lie in the drawing: the page, the hoop's edges, loops outside it, pieces of strands
 * with their gaps, places for names and numbers. In mm of the racket, origin as in the frame model;
 * `unit` is how many of them make a mm on A4 paper. Draws nothing. */
#ifndef SELVAGE_EMIT_LAYOUT_H
#define SELVAGE_EMIT_LAYOUT_H

#include "pattern/pattern.h"

/* What a label takes, in mm of the racket. */
struct box {
    struct point centre;
    double width, height;
};

/* Cubic curves end to end: a first point, then three for each curve, its two handles and its end.
 */
struct curve {
    struct point *at;
    int count; /* of curves */
};

/* A crossing of a strand, in the order its end meets them. */
struct meeting {
    int other;  /* the strand that is crossed */
    double way; /* from where the strand enters */
    bool under;
};

/* A piece of a strand between two gaps. */
struct piece {
    struct point from, to;
};

/* Where a string goes through the wall: from where its strand or knot is to where its loop begins.
 * Strings that share a hole go through it side by side; where the order they come in is not the
 * order their loops need, they change sides on the way. */
struct passage {
    int hole, end;
    int loop;       /* that begins or ends here; -1: none */
    bool clockwise; /* the way the loop takes from here */
    bool shared, changes_sides;
    struct point inside, outside;
};

struct strand_layout {
    int end, pass;
    int pull;               /* from 1, in the order of pulls */
    struct point from, way; /* where it enters, and a unit vector */
    double length;          /* as drawn */
    struct meeting *meetings;
    int meeting_count;
    struct piece *pieces, *back_pieces; /* seen from the front; from the back: lay_out_back */
    int piece_count, back_piece_count;
    struct point name_at[2]; /* near where it enters and where it leaves */
    struct point number_at;  /* near its middle */
    struct point arrow_tip;  /* near where it leaves */
};

struct loop_layout {
    struct curve path;
    struct box around;
    int number;   /* from 1 within its end */
    int track;    /* how far out it runs, from 0 */
    int from, to; /* passages */
};

/* A line of the title block; `at` in mm on paper from the corner of the page to its foot. */
struct heading_line {
    const char *class_name, *text;
    struct point at;
};

struct layout {
    const struct pattern *pattern;
    double unit;
    double left, top, width, height; /* the page */
    struct curve inner, outer;       /* edges of the hoop, closed */
    struct point *hole_middle;       /* by hole: the middle of its wall */
    double *hole_scale;              /* by hole: 1, less where its neighbours are near */
    struct box *numbers;             /* by hole: its number, clear of the loops */
    double shaft_half;               /* of its width: its sides clear of the numbers */
    struct passage *passages;        /* see passage_of_... */
    int passage_count;
    int *highest_track;            /* by hole: the farthest track over it; -1: none */
    struct loop_layout *loops;     /* as the pattern's loops */
    struct strand_layout *strands; /* by strand */
    array_of(struct heading_line) heading;
    double title_size, subtitle_size;                  /* mm on paper */
    double content_top, content_bottom, content_right; /* what the frame with its numbers takes */
    bool counts;                                       /* the order of pulls is shown */
    int names;    /* of a strand: 2 at both its ends, 1 where it enters */
    int strays;   /* names that had to go on crossings */
    bool crowded; /* a label has no place clear of the others, or a number of a pull goes on a
                     crossing */
};

/* Sizes in mm on A4 paper; times `unit` they are sizes in the drawing. */
#define NUMBER_SIZE 2.5
#define NAME_SIZE 2.3
#define LEGEND_SIZE 2.7
#define LEGEND_ROW 4.4
#define LEGEND_MARGIN 7.0
#define PAGE_MARGIN 8.0
#define SIDE_ROOM 7.2 /* beside the frame: the words left and right, its length */
#define HEAD_ROOM 6.4 /* above it: the word head, its width */
#define A4_WIDTH 210.0

/* Radii in mm of the racket; times the scale of the hole. */
#define HOLE_RADIUS 1.7
#define KNOT_RADIUS 2.6
#define ARROW_LENGTH 4.4

/* "loop-long-5", "loop-fold": the id of a loop of the pattern. */
const char *loop_id(const struct layout *layout, struct arena *arena, int loop);

/* A hole's number as it stands outside, without its side. */
const char *hole_number(const struct hole *hole);
struct box name_box(const struct layout *layout, int strand);  /* the middle is not set */
struct box count_box(const struct layout *layout, int strand); /* the middle is not set */

/* "M3": a strand's name without its side. */
const char *strand_label(const struct strand *strand);

bool is_knot_hole(const struct pattern *pattern, int hole);
bool is_first_hole(const struct pattern *pattern, int hole);

/* Passages by number: two of each strand (0 where its end enters, 1 where it leaves), then two of
 * each end's knots (0 start, 1 tie). A knot that is not there has the hole NO_HOLE. */
int passage_of_strand(int strand, int leaving);
int passage_of_knot(const struct pattern *pattern, int end, int tie);

/* Steps of the layout, in this order. */
void scale_holes(struct layout *layout, struct arena *arena);
void lay_out_passages(struct layout *layout, struct arena *arena);
void place_hole_numbers(struct layout *layout);
void fit_shaft(struct layout *layout);
void place_strand_labels(struct layout *layout, struct arena *arena);

struct point along(struct point from, struct point way, double distance);

/* The way round the hoop at a point: the outward normal turned a quarter, clockwise. */
struct point onwards(struct point outward);

/* The inside of the hoop, closed, moved outwards by `offset`. */
struct curve hoop_edge(const struct frame *frame, struct arena *arena, double offset);

/* From the hoop's inside to the middle of a loop on a track. */
double track_offset(const struct layout *layout, int track);

/* Adds what the back shows: under is over there. */
void lay_out_back(struct layout *layout, struct arena *arena);

struct layout *lay_out_drawing(const struct pattern *pattern, struct arena *arena);

/* The same without a page, for a figure among other things: no heading, no legend, type of the
 * sizes above where `unit` mm of the racket are one mm of paper. */
struct layout *lay_out_bare(const struct pattern *pattern, struct arena *arena, double unit,
                            bool counts, int names);

#endif
