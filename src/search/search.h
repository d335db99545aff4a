/* Legs that are found: the best way to string what no leg strings, within what the pattern insists
 * on. docs/search.md is the model. Knows the stages before it and the bench's plan. */
#ifndef SELVAGE_SEARCH_SEARCH_H
#define SELVAGE_SEARCH_SEARCH_H

#include "pattern/pattern.h"
#include "report/report.h"

#include <stdint.h>

/* One way to string the whole pattern. */
struct found_way {
    int64_t cost[AIMS];                  /* by aim; lengths in thousandths of a mm */
    enum place mains_from, crosses_from; /* PLACE_UNSAID: nothing of it was left to be found */
    enum side long_side;                 /* SIDE_UNSAID in two pieces */
    array_of(struct leg) legs;           /* all of them, those written too */
    array_of(const char *) why;          /* by leg; NULL for one that is written */
};

struct search_result {
    bool posed;    /* what is written holds together by itself, so that there was a search */
    bool proved;   /* nothing is better than the first */
    bool complete; /* ... and of each kind it is the best; else a limit cut the search short */
    long nodes;    /* how many states were looked at */
    array_of(struct found_way) ways;
};

/* Whether legs are to be found: there are none, or the pattern asks for the rest; and its frame is
 * sound. */
bool wants_legs(const struct pattern *pattern);

/* Where they are wanted, finds them and adds them to the pattern. Where there are none, says which
 * lines exclude each other; the pattern is left as it was. `*left` states may be looked at by this
 * search and those to come. */
void find_legs(struct pattern *pattern, struct arena *arena, struct report *report, long *left);

/* The best ways, different in kind: in where the mains begin, from where the crosses come, how many
 * mains come late and how many of each end after a cross of its own, or which ends string crosses.
 * Without its own legs, where they are to be set aside. */
struct search_result search_ways(const struct pattern *pattern, int most, bool set_legs_aside,
                                 long most_nodes, struct arena *arena);

/* The pattern as it stands with this way's legs in place of its own. */
struct pattern *pattern_with_way(const struct pattern *pattern, const struct found_way *way,
                                 struct arena *arena);

#endif
