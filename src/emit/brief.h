/* What a card says, as data: the pattern in short, before anything has its place. */
#ifndef SELVAGE_EMIT_BRIEF_H
#define SELVAGE_EMIT_BRIEF_H

#include "emit/sheet.h"

struct brief_line {
    const char *label; /* NULL: the text alone */
    const char *text;
};

/* How much a card tells, each with all before it; what is less needed at the bench goes first where
 * there is no room. */
enum brief_depth {
    BRIEF_LEAST, /* holes, string, tension, knots, clamps and the steps */
    BRIEF_HANDS, /* what a step wants of the hands: lane, room to leave */
    BRIEF_TWICE, /* what stands there twice: the pattern in short, tension with each step */
    BRIEF_NOTES, /* the notes in the file */
    BRIEF_WHOLE, /* time, what is assumed */
    BRIEF_DEPTHS
};

struct brief_block {
    const char *heading;
    array_of(struct brief_line) lines;
    bool in_pairs;         /* labels and texts are columns, short ones */
    enum brief_depth from; /* the least depth it is told at */
};

struct brief {
    const struct pattern *pattern;
    const struct sheet *sheet; /* its rows are the steps */
    const char *title, *subtitle, *kind, *shorthand;
    const char *elsewhere; /* where what a step wants of the hands stands, if not here; "" where no
                              step wants anything */
    array_of(struct brief_block) blocks;
    const char *cautions;
};

struct brief *brief_of(const struct pattern *pattern, struct arena *arena);

#endif
