/* The frame as a model: hoop, holes in ring order, strands with their two holes.
 * Coordinates in mm, origin on the centre line at the inside of the head, x to the right seen from
 * the front, y towards the throat. Knows nothing of patterns. */
#ifndef SELVAGE_FRAME_FRAME_H
#define SELVAGE_FRAME_FRAME_H

#include "frame/outline.h"
#include "ground/source.h"
#include "ground/terms.h"

#include <stdbool.h>

enum { NO_STRAND = -1, NO_HOLE = -1, STRANDS_PER_HOLE = 2 };

struct hole {
    enum side side;
    enum place place;
    int number;       /* from the centre line; 0 on it */
    const char *id;   /* "R7H", "0H" */
    const char *name; /* "right 7H", "0H" */
    int strands[STRANDS_PER_HOLE];
    int strand_count;
    bool tie_off;
    enum lane guide;
    struct span span, guide_span; /* where it is mapped, where it is guided */
    double arc;                   /* along the inside from the head's centre line, clockwise */
    struct point at, outward;     /* on the inside of the hoop; unit normal away from the bed */
};

struct strand {
    enum kind kind;
    enum side side;   /* of a main: its own; SIDE_CENTRE for M0 and for crosses */
    int number;       /* M3: 3 */
    int index;        /* mains from the left, crosses from the head, both from 0 */
    const char *id;   /* "RM3", "M0", "C4" */
    const char *name; /* "right M3", "M0", "C4" */
    int holes[2];     /* head before throat, left before right */
    double length;    /* between its holes */
    struct span span; /* where it is first mapped */
};

struct note_line {
    const char *text;
    struct note_line *next;
};

struct word_side {
    enum side side;
    struct span span;
};

struct word_place {
    enum place place;
    struct span span;
};

struct frame {
    const char *name, *title;
    struct span span;  /* its name in the source */
    const char *sport; /* NULL where not said */
    struct outline outline;
    double overall_length, overall_width; /* of the racket, mm; 0 and 0 where not said */
    struct span inside_span, outline_span, overall_span;
    double outside_radius; /* the least of the outside, from the head to the widest place, mm: the
                              inside moved outwards by half of what `overall_width` is more; 0 where
                              it is not known */
    double squeeze_wide, squeeze_long; /* N that squeeze the bare head by 1 mm, at its widest and
                                          from head to throat; 0 where not said */
    struct span squeeze_span;
    double wall; /* mm */
    bool wall_given;
    bool tape_given;
    int lanes; /* 1 or 2 */
    bool lanes_given;
    struct word_side short_side;        /* SIDE_UNSAID: either */
    struct word_place crosses_from;     /* what the maker asks */
    double least_tension, most_tension; /* N; 0 and 0 where no range is given */
    enum unit tension_unit;             /* as printed on the frame; pounds where not said */
    struct span tension_span;
    bool range_doubted; /* it is told to be unusual in the sport */
    struct note_line *notes;

    struct hole *holes; /* ring order: clockwise from the head's centre line */
    int hole_count;
    struct strand *strands; /* mains from the left, then crosses from the head */
    int strand_count, main_count, cross_count;
    bool damaged; /* something of it could not be read: what it lacks may be said there */
    bool flawed;  /* damaged, or an error was found in it: no moves are planned on it */
    bool mapped;  /* holes and strands stand */
    bool placed;  /* they have their places in mm */
};

/* Look-ups by what the source writes. NO_HOLE and NO_STRAND where there is none. */
int frame_hole(const struct frame *frame, enum side side, int number, enum place place);
int frame_strand(const struct frame *frame, enum kind kind, enum side side, int number);

/* The strands that are wanted (by strand), in runs: "right M7, C7 to C9". */
const char *strand_words(const struct frame *frame, struct arena *arena, const bool *wanted);

/* Why two frames are not one, in words; NULL where they are. */
const char *frame_difference(const struct frame *a, const struct frame *b, struct arena *arena);

/* The main a hole carries, or NO_STRAND. */
int hole_main(const struct frame *frame, int hole);

/* A main of one side: any but M0. */
static inline bool is_sided_main(const struct strand *strand) {
    return strand->kind == MAIN && strand->side != SIDE_CENTRE;
}

/* The shorter way along the hoop between two holes, in mm, and whether it goes clockwise. */
double hoop_distance(const struct frame *frame, int from, int to);
bool goes_clockwise(const struct frame *frame, int from, int to);

/* Whether holes a and b alternate with c and d round the ring: all four different, and exactly one
 * of c and d between a and b. */
bool holes_alternate(int a, int b, int c, int d);

/* Whether a main and a cross really cross: their four holes alternate. */
bool strands_cross(const struct frame *frame, int main, int cross);

/* Where they do. */
struct point crossing_point(const struct frame *frame, int main, int cross);

#endif
