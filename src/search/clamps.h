/* Whether clamps can suffice for what has been done so far: by every state they can be in after it.
 * A strand is taken to be threaded when it is pulled, which asks less of the clamps than threading
 * ahead does: what is ruled out here is ruled out. Private to search/. */
#ifndef SELVAGE_SEARCH_CLAMPS_H
#define SELVAGE_SEARCH_CLAMPS_H

#include "bench/holds.h"

/* All the ways clamps can hold the ends at one moment, a bit for each. */
enum { HOLD_STATES = HOLDS * HOLDS * HOLDS * START_HOLDS, HOLD_WORDS = (HOLD_STATES + 63) / 64 };
struct hold_states {
    uint64_t word[HOLD_WORDS];
};

struct hold_states no_clamps_yet(void);

/* What they can be after a pull, a tie, the start of a cross string by a knot; false where nothing
 * is left. `other` is the other end of the string, -1: none. */
bool holds_after_pull(struct hold_states *states, const int clamps[CLAMP_KINDS], int end, int other,
                      bool start_by_clamp);
bool holds_after_tie(struct hold_states *states, const int clamps[CLAMP_KINDS], int end);
bool holds_after_start(struct hold_states *states);

#endif
