/* What holds each end between two acts, and which clamps that takes. Knows nothing of where and
 * what for. */
#ifndef SELVAGE_BENCH_HOLDS_H
#define SELVAGE_BENCH_HOLDS_H

#include "ground/terms.h"

#include <stdbool.h>
#include <stdint.h>

enum { ENDS = 3 };

/* What holds an end's last pulled strand. */
enum hold { FREE, ANCHOR, FIXED, STARTING, TIED, HOLDS };
/* The start of a cross string. */
enum start_hold { START_OPEN, START_CLAMPED, START_TIED, START_HOLDS };

/* Small, since a plan keeps a few hundred of them. */
struct hold_state {
    uint8_t end[ENDS]; /* enum hold */
    uint8_t start;     /* enum start_hold */
};

bool same_holds(struct hold_state a, struct hold_state b);

/* Whether a clamp of a kind is free, of so many of each kind. */
bool clamp_is_free(const int clamps[CLAMP_KINDS], struct hold_state state, enum clamp_kind kind);

/* An end in the tensioner: the other end of its string, -1 for none, is anchored where it has
 * pulled nothing yet; a start by clamp gets its clamp. What held the end comes off. False where it
 * cannot be pulled, or clamps run out. */
bool take_into_tensioner(const int clamps[CLAMP_KINDS], struct hold_state *state, int end,
                         int other, bool start_by_clamp);

/* It is clamped. False where there is no clamp. */
bool clamp_end(const int clamps[CLAMP_KINDS], struct hold_state *state, int end,
               enum clamp_kind kind);

/* From a starting clamp to a fixed one, by pulling once more. */
bool hand_over(const int clamps[CLAMP_KINDS], struct hold_state *state, int end);

/* False where no fixed clamp holds it. */
bool tie_held(struct hold_state *state, int end);

#endif
