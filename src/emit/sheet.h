/* The step list as data: what a stringer reads, before it has a form. Text, Markdown and CSV are
 * three ways to print it, and the order graph borrows its notes. */
#ifndef SELVAGE_EMIT_SHEET_H
#define SELVAGE_EMIT_SHEET_H

#include "emit/emit.h"

/* One line of the list: at most one strand threaded or woven and one pulled, by one end. */
struct sheet_row {
    int number; /* from 1 */
    const char *end;
    const char *strand; /* threaded or woven here; NULL: none */
    bool woven;
    const char *way;   /* "9H right to left" */
    const char *first; /* "over C2"; NULL where it is only threaded */
    int enter, leave;
    const char *pulled; /* pulled here; NULL: none */
    int nth;            /* in the order of pulls, as the drawing counts them; 0 for a repull */
    bool again;         /* a repull */
    double tension;     /* N */
    const char *force;  /* the same in the unit it is set in: "26 lb"; "" where not known */
    const char
        *load; /* NULL, or what it bends the hoop by, more than any pull before; needs a bed */
    const char *hold;  /* clamps and knots, in words; "" where nothing is done */
    const char *notes; /* lane, room to leave; "" where there is nothing to say */
    int first_move, last_move;
    int threads, pulls;                  /* the strands; NO_STRAND */
    const struct loop *loop, *knot_loop; /* that lead into the strand, to the knot; NULL */
    const char *loop_words, *knot_words; /* what they want of the hands; "" where nothing */
};

/* What a fact is about: whoever prints some of them, or in another order, goes by this. */
enum sheet_matter {
    ABOUT_RACKET,
    ABOUT_PATTERN,
    ABOUT_SHORTHAND,
    ABOUT_VIEW,
    ABOUT_STRING,
    ABOUT_END,
    ABOUT_PRESTRETCH,
    ABOUT_TENSION,
    ABOUT_RANGE,
    ABOUT_CLAMPS,
    ABOUT_TIME,
    ABOUT_PLAY,
    ABOUT_ASSUMED,
    ABOUT_LOAD
};

struct sheet_fact {
    enum sheet_matter about;
    const char *name, *text;
    const char *end; /* ABOUT_END: of which end of a string */
    bool terms;      /* a sum or a list, not to be wrapped within a term */
};

struct sheet {
    const char *racket, *pattern;      /* titles */
    array_of(struct sheet_fact) facts; /* string, tension, clamps, assumed values ... in order */
    array_of(const char *) notes;      /* of frame, pattern, string and bench */
    array_of(struct sheet_row) rows;
};

struct sheet *sheet_of(const struct pattern *pattern, struct arena *arena);

/* The number of the line that has a move; 0: none. */
int step_of_move(const struct sheet *sheet, int move);

/* The usual cautions, closed by NULL. */
extern const char *const sheet_cautions[];

/* The pattern in one line, in the words of the trade, from what was derived. */
const char *sheet_shorthand(const struct pattern *pattern, struct arena *arena);

/* "14 x 18" */
const char *pattern_size(const struct frame *frame, struct arena *arena);

/* "26.5 lb": what a strand is pulled with, in the unit it is set in; "" where not known. */
const char *pull_words(const struct pattern *pattern, struct arena *arena, int strand);

/* Title where there is one, else the name. */
const char *frame_title(const struct frame *frame);
const char *pattern_title(const struct pattern *pattern);

/* "M3" for a main of the end's own side or the centre, "right M3" for one of the other. */
const char *strand_for_end(const struct pattern *pattern, int end, int strand);

#endif
