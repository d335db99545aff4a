/* Which clamps hold what: one change after another. */
#include "bench/holds.h"

bool same_holds(struct hold_state a, struct hold_state b) {
    bool same = a.start == b.start;
    for (int e = 0; e < ENDS; e++)
        same &= a.end[e] == b.end[e];
    return same;
}

static int in_use(struct hold_state state, enum clamp_kind kind) {
    int used = kind == CLAMP_STARTING && state.start == START_CLAMPED;
    for (int e = 0; e < ENDS; e++) {
        bool fixed = state.end[e] == FIXED || state.end[e] == ANCHOR;
        used += kind == CLAMP_FIXED ? fixed : state.end[e] == STARTING;
    }
    return used;
}

bool clamp_is_free(const int clamps[CLAMP_KINDS], struct hold_state state, enum clamp_kind kind) {
    return in_use(state, kind) < clamps[kind];
}

bool take_into_tensioner(const int clamps[CLAMP_KINDS], struct hold_state *state, int end,
                         int other, bool start_by_clamp) {
    if (state->end[end] == STARTING || state->end[end] == TIED) return false;
    if (other >= 0 && state->end[other] == FREE) {
        if (!clamp_is_free(clamps, *state, CLAMP_FIXED)) return false;
        state->end[other] = ANCHOR;
    }
    if (other < 0 && state->start == START_OPEN) {
        if (!start_by_clamp || !clamp_is_free(clamps, *state, CLAMP_STARTING)) return false;
        state->start = START_CLAMPED;
    }
    state->end[end] = FREE;
    return true;
}

bool clamp_end(const int clamps[CLAMP_KINDS], struct hold_state *state, int end,
               enum clamp_kind kind) {
    if (!clamp_is_free(clamps, *state, kind)) return false;
    state->end[end] = kind == CLAMP_FIXED ? FIXED : STARTING;
    return true;
}

bool hand_over(const int clamps[CLAMP_KINDS], struct hold_state *state, int end) {
    if (state->end[end] != STARTING || !clamp_is_free(clamps, *state, CLAMP_FIXED)) return false;
    state->end[end] = FIXED;
    return true;
}

bool tie_held(struct hold_state *state, int end) {
    if (state->end[end] != FIXED) return false;
    state->end[end] = TIED;
    return true;
}
