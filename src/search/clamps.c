/* Sets of what holds the ends. */
#include "search/clamps.h"

static int number_of(struct hold_state state) {
    return ((state.end[0] * HOLDS + state.end[1]) * HOLDS + state.end[2]) * START_HOLDS +
           state.start;
}

static struct hold_state state_of(int number) {
    struct hold_state state;
    state.start = (uint8_t)(number % START_HOLDS);
    number /= START_HOLDS;
    for (int e = ENDS - 1; e >= 0; e--) {
        state.end[e] = (uint8_t)(number % HOLDS);
        number /= HOLDS;
    }
    return state;
}

/* The first state of a set from a number on; HOLD_STATES where there is no more. */
static int next_of(const struct hold_states *states, int number) {
    while (number < HOLD_STATES) {
        uint64_t word = states->word[number / 64] >> number % 64;
        if (word & 1) return number;
        number = word != 0 ? number + 1 : (number / 64 + 1) * 64;
    }
    return HOLD_STATES;
}

#define EACH_STATE(states, i)                                                                      \
    (int i = next_of(&(states), 0); i < HOLD_STATES; i = next_of(&(states), i + 1))

static void add(struct hold_states *states, struct hold_state state) {
    int number = number_of(state);
    states->word[number / 64] |= (uint64_t)1 << number % 64;
}

struct hold_states no_clamps_yet(void) {
    struct hold_states states = {{0}};
    add(&states, (struct hold_state){{FREE}, START_OPEN});
    return states;
}

static bool any(const struct hold_states *states) {
    uint64_t all = 0;
    for (int i = 0; i < HOLD_WORDS; i++)
        all |= states->word[i];
    return all != 0;
}

static bool same(const struct hold_states *a, const struct hold_states *b) {
    bool all = true;
    for (int i = 0; i < HOLD_WORDS; i++)
        all &= a->word[i] == b->word[i];
    return all;
}

/* With all that can be done without an act: handing an end over, tying a start that is clamped. */
static struct hold_states at_rest(struct hold_states states, const int clamps[CLAMP_KINDS]) {
    struct hold_states before;
    do {
        before = states;
        for
            EACH_STATE(before, i) {
                struct hold_state state = state_of(i);
                for (int e = 0; e < ENDS; e++) {
                    struct hold_state next = state;
                    if (hand_over(clamps, &next, e)) add(&states, next);
                }
                if (state.start == START_CLAMPED && clamp_is_free(clamps, state, CLAMP_FIXED)) {
                    state.start = START_TIED;
                    add(&states, state);
                }
            }
    } while (!same(&before, &states));
    return states;
}

bool holds_after_pull(struct hold_states *states, const int clamps[CLAMP_KINDS], int end, int other,
                      bool start_by_clamp) {
    struct hold_states before = at_rest(*states, clamps), after = {{0}};
    for
        EACH_STATE(before, i) {
            struct hold_state state = state_of(i);
            if (!take_into_tensioner(clamps, &state, end, other, start_by_clamp)) continue;
            for (int kind = 0; kind < CLAMP_KINDS; kind++) {
                struct hold_state next = state;
                if (clamp_end(clamps, &next, end, (enum clamp_kind)kind)) add(&after, next);
            }
        }
    *states = after;
    return any(states);
}

bool holds_after_tie(struct hold_states *states, const int clamps[CLAMP_KINDS], int end) {
    struct hold_states before = at_rest(*states, clamps), after = {{0}};
    for
        EACH_STATE(before, i) {
            struct hold_state state = state_of(i);
            if (tie_held(&state, end)) add(&after, state);
        }
    *states = after;
    return any(states);
}

bool holds_after_start(struct hold_states *states) {
    struct hold_states after = {{0}};
    for
        EACH_STATE(*states, i) {
            struct hold_state state = state_of(i);
            state.start = START_TIED;
            add(&after, state);
        }
    *states = after;
    return any(states);
}
