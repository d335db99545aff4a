/* What a frame feels while a planned pattern is strung on it, and what is left of it afterwards:
 * the job of the pattern's own moves, at the values its frame, strings and bench give or leave to
 * be assumed, and over all those it may as well be. Lives in the arena it is made in. */
#ifndef SELVAGE_MECHANICS_BED_H
#define SELVAGE_MECHANICS_BED_H

#include "mechanics/even.h"
#include "mechanics/sweep.h"
#include "mechanics/values.h"
#include "pattern/pattern.h"

/* A value that counts, in words. */
struct bed_fact {
    const char *what;  /* "hoop.bending" */
    const char *words; /* "hoop 70 N m2 against bending in its plane" */
    bool assumed;
};

/* Mains of one side may lead by so many before it is said what that costs. */
enum { LEAD_WORTH_TELLING = USUAL_LEAD };

/* A pull with which one side leads by more, the farthest of those that follow one another. */
struct far_ahead {
    int event, lead;
    const struct sweep *until_then; /* of the job up to it; and of the same many pulls in turn,
                                       where no side leads by more than is worth telling */
};

struct bed {
    const struct pattern *pattern;
    struct algebra algebra;
    struct values values;
    double draw_back; /* mm */
    struct known_values known;
    array_of(struct bed_fact) facts;
    const struct compliance *compliance; /* with its shifts */
    struct job job;
    const struct outcome *outcome; /* every event */
    struct grid grid;
    const struct sweep *sweep; /* of the job; and, where some pull is far ahead, of one in turn */
    array_of(struct far_ahead) far_ahead;
    const struct even *even;        /* NULL: not asked for */
    const struct sweep *even_sweep; /* of the job, and of it with the even pulls as they are set;
                                       NULL where it cannot be worked out */
};

enum bed_fault {
    BED_SOUND,
    BED_NO_LIBRARY, /* LAPACK is not installed */
    BED_NO_TENSION, /* neither pattern nor frame says any */
    BED_SQUEEZE_TOO_STIFF,
    BED_SQUEEZE_NO_THROAT, /* no throat goes with both squeezes */
    BED_UNSOUND            /* numbers that cannot be solved with */
};

/* In words, with what to do. */
const char *bed_fault_words(enum bed_fault fault);

/* What a hoop that is squeezed so at its widest takes from head to throat, whatever its throat:
 * "130 N per mm wide go with 381 to 472 N per mm long"; NULL where that cannot be said. */
const char *squeeze_room(const struct frame *frame, struct arena *arena);

/* Needs moves. NULL where `*fault` says why. */
const struct bed *bed_of(const struct pattern *pattern, enum bed_fault *fault, struct arena *arena);

/* The same without `sweep` and `far_ahead`, for compare_beds; of a second one with the hoop of the
 * `first`, and no fact of its own hoop. */
const struct bed *bed_to_compare(const struct pattern *pattern, const struct bed *first,
                                 enum bed_fault *fault, struct arena *arena);

/* The pulls that would leave mains and crosses even, in the steps of the tensioner. */
const struct bed *bed_with_even_pulls(const struct bed *bed, struct arena *arena);

/* What is known of one alone is not known of both; what is known of the frame is that of `a`. */
struct known_values known_of_both(const struct bed *a, const struct bed *b);

/* Two beds on one frame under the same uncertain values: `difference` is b less a. */
const struct sweep *compare_beds(const struct bed *a, const struct bed *b, struct arena *arena);

/* Whether the largest moment after an event is larger than after every event before it. */
bool is_new_peak(const struct bed *bed, int event);

/* Where a node is on the centre line; PLACE_UNSAID: it is not. */
enum place middle_at_node(const struct bed *bed, int node);

/* The hole that is nearest to a node along the hoop. */
int hole_by_node(const struct bed *bed, int node);

#endif
