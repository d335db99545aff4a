/* Patterns for one frame side by side, as rows, before they have a form. There is no verdict on the
 * whole: what is worth what is for the stringer to say. */
#ifndef SELVAGE_EMIT_COMPARE_H
#define SELVAGE_EMIT_COMPARE_H

#include "emit/emit.h"
#include "mechanics/bed.h"
#include "pattern/figures.h"

enum { COMPARED = 2, MOST_COMPARED = 1 + SELVAGE_MOST_WAYS };

/* How a value is kept, and how it is shown. */
enum compared_as {
    AS_COUNT,
    AS_LENGTH,  /* mm, shown so */
    AS_METRES,  /* mm, shown in m to a hundredth */
    AS_DRAWN,   /* mm, shown in whole m */
    AS_MINUTES, /* s, shown in whole minutes */
    AS_FORCE,   /* N, shown in the unit of the first pattern */
    AS_WORDS,
    AS_LIST
};

struct compared_value {
    bool known;
    double number;
    const char *shown;       /* "9.44 m"; of a list: NULL */
    const char *const *list; /* closed by NULL */
};

enum compared_less { NOT_JUDGED, LESS_A, LESS_B, LESS_NEITHER };

struct compared_row {
    const char *key, *name;
    enum compared_as as;
    struct compared_value values[MOST_COMPARED];
    enum compared_less less; /* of two, where less is better: which is, as it is shown */
};

struct comparison {
    const struct pattern *patterns[MOST_COMPARED];
    int count;
    const char *files[COMPARED]; /* of two patterns; NULL where both are in one */
    array_of(struct compared_row) rows;
};

void compare_rows(struct comparison *comparison, struct arena *arena);

/* comparedbeds.c: what the frame feels, of two patterns. */
enum ranged_as {
    RANGED_FORCE,  /* N, shown in the unit of the first pattern */
    RANGED_CHANGE, /* mm, with its sign */
    RANGED_MOMENT  /* N mm, shown in N m */
};

struct ranged_row {
    const char *key, *name;
    enum ranged_as as;
    struct range values[COMPARED], difference; /* B minus A */
    bool clear;              /* its sign is one over all sets, and it never reads nought */
    enum compared_less less; /* where less is better, and one has less in every set */
    const char *shown[COMPARED], *shown_difference; /* "4.2 N (3.1 to 6)" */
};

struct compared_beds {
    const char *left_out; /* why there are no rows, in words; NULL where there are */
    int sets;             /* of values */
    const char *ranges;   /* over what, in words */
    const char *assumed;  /* for both, for A, for B, in words */
    array_of(const char *) both, own[COMPARED]; /* the same in parts */
    array_of(struct ranged_row) rows;
};

const struct compared_beds *compared_beds(const struct comparison *comparison, struct arena *arena);

/* comparison.c: the three forms, from the rows. */
void emit_comparison(struct comparison *comparison, enum selvage_comparison form,
                     struct output *out);

#endif
