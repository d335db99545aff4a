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

/* Adds the strands of a run to a set; a main without a side means both sides'. False, and a
 * finding, where the frame has none of them. */
bool add_to_set(struct pattern_parts *parts, struct strand_set *set,
                const struct tree_strands *strands);
struct strand_set new_set(struct pattern_parts *parts, struct span span);

/* The two numbers of a "pull 3 ahead then 2"; `then` is `first` where it is not said. */
bool take_ahead(struct pattern_parts *parts, const struct tree_option *option, int *first,
                int *then);

/* The end a line names; NO_END, and a finding, where the pieces have none such. */
int take_end(struct pattern_parts *parts, const struct tree_word_end *word);

/* intents.c: reads every line that insists on something, but for the pieces line. */
void resolve_intents(struct pattern_parts *parts);

/* legs.c: reads every leg into the model; false where one of them is not usable. */
bool resolve_legs(struct pattern_parts *parts);

#endif
