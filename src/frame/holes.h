/* From lists of holes to the ring: which strand has which holes, and where they lie on the hoop. */
#ifndef SELVAGE_FRAME_HOLES_H
#define SELVAGE_FRAME_HOLES_H

#include "frame/frame.h"
#include "report/report.h"

/* A strand as a hole list names it; its side is settled, SIDE_CENTRE for M0 and crosses. */
struct strand_word {
    enum kind kind;
    enum side side;
    int number;
    struct span span;
};

struct slot {
    struct strand_word strands[STRANDS_PER_HOLE];
    int count; /* 0: the hole is unused */
    struct span span;
};

/* The holes of one side at one place, from the centre line outwards. */
struct slot_list {
    struct slot *slots;
    int count;
    bool centre;      /* the first slot is 0H or 0T */
    struct span span; /* of its line; none where the source has none */
    bool mirrored;    /* the line holds for both sides */
};

struct tape_mark {
    enum side side;
    enum place place;
    int number;
    double distance; /* mm from the centre line at its place */
    struct span span;
    bool mirrored;
};

struct hole_lists {
    struct slot_list at[2][2]; /* [right 0, left 1][head 0, throat 1] */
};

/* Builds holes and strands from the lists; sets `mapped` where they stand. Faults are reported. */
void frame_map(struct frame *frame, struct arena *arena, struct report *report,
               const struct hole_lists *lists);

/* Lays the mapped holes out along the measured outline and measures the strands; sets `placed`. */
void frame_place(struct frame *frame, struct arena *arena, struct report *report,
                 const struct tape_mark *marks, int mark_count);

#endif
