/* What the resolver of patterns and the resolver of legs share. */
#ifndef SELVAGE_RESOLVE_PATTERN_H
#define SELVAGE_RESOLVE_PATTERN_H

#include "resolve/library.h"

/* A pattern on the way from its block to the model. */
struct pattern_parts {
    struct library *library;
    const struct tree_definition *definition;
    struct pattern *pattern;
    const struct frame *frame; /* mapped */
    int named;                 /* strands the legs have named so far */
    unsigned ends_told;        /* ends the pieces do not have: each is told once */
};

/* Whether a run names strands of one kind; says so where not. */
bool range_sound(struct pattern_parts *parts, const struct tree_strands *strands);
int range_size(const struct tree_strands *strands);

/* The strand of a number of the run's kind; NO_STRAND and a finding where the frame has none. */
int find_strand(struct pattern_parts *parts, const struct tree_strands *strands, enum side side,
                int number);

struct strand_set new_set(struct pattern_parts *parts, struct span span);

/* The two numbers of a "pull 3 ahead then 2"; `then` is `first` where it is not said. */
bool take_ahead(struct pattern_parts *parts, const struct tree_option *option, int *first,
                int *then);

/* Reads every leg into the model; false where one of them is not usable. */
bool resolve_legs(struct pattern_parts *parts);

#endif
