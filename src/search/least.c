/* What a state still costs at the least: a walk through all that can come of it, in which loops
 * count but not how they lie to one another. What that rules out is ruled out, and what it finds
 * costs no more than the real thing. */
#include "search/state.h"

#include <string.h>

static uint64_t hole_bits(int hole) { return (uint64_t)(hole + 1); }

/* Strands of the short end, where they are or could come to more than those of the long one. */
static uint64_t strands_that_count(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    const struct worker *shorter = &state->ends[1];
    int most = shorter->strands + (shorter->tied ? 0 : problem->strands - state->pulls);
    bool count = problem->long_is_longer && (state->ends[0].tied || 2 * most > problem->strands);
    return count ? (uint64_t)shorter->strands : 0;
}

/* Who pulled last: to a way of whatever cost it matters no sooner than that end may be tied. */
static uint64_t last_that_counts(const struct search *search, const struct state *state) {
    bool counts = !search->problem->question.first_will_do || state->last == NO_END ||
                  !has_main_to_string(search, state, state->last);
    return counts ? (uint64_t)(state->last + 1) : 0;
}

/* 16 bits. */
static uint64_t end_that_counts(const struct search *search, const struct state *state, int e) {
    const struct worker *end = &state->ends[e];
    if (end->tied) return (uint64_t)1 << 15 | (uint64_t)end->as_written;
    uint64_t bits =
        hole_bits(end->where) << 2 | (uint64_t)(end->waiting > 0) << 1 | (uint64_t)end->as_written;
    for (int c = 0; c < CLASSES; c++)
        bits = bits << 2 | (state->next[c] < search->crosses[c] ? (uint64_t)end->run[c] : 0);
    return bits;
}

/* All that matters to what can be done next, and nothing that does not matter any more; false where
 * it is more than fits. */
static bool key_of(const struct search *search, const struct state *state, uint64_t key[3]) {
    const struct hole *holes = search->frame->holes;
    key[0] = key[1] = key[2] = 0;
    for (int e = 0; e < MOST_ENDS; e++)
        key[0] = key[0] << 16 | end_that_counts(search, state, e);
    key[0] = key[0] << 2 | last_that_counts(search, state);
    for (int c = 0; c < CLASSES; c++)
        key[1] = key[1] << 7 | (uint64_t)state->next[c];
    bool both = state->around[0] != NO_HOLE && state->around[1] != NO_HOLE;
    for (int e = 0; e < 2; e++) {
        key[1] = key[1] << 7 | (uint64_t)state->ends[e].mains;
        int entered = both ? NO_HOLE : state->around[e];
        key[1] = key[1] << 2 | (entered == NO_HOLE ? 0 : (uint64_t)holes[entered].place);
    }
    key[1] = key[1] << 8 | strands_that_count(search, state);
    key[1] = key[1] << 12 | (uint64_t)state->stretch;
    key[1] = key[1] << 1 | (uint64_t)(state->pulls == state->pulls_written);
    key[1] = key[1] << 4 | (uint64_t)search->root;
    bool centre = search->centre != NO_STRAND && set_has(&state->threaded, search->centre);
    key[1] = key[1] << 1 | (uint64_t)centre;
    for (int i = 0; i < search->tie_off_count && i < 64; i++)
        key[2] = key[2] << 1 | (uint64_t)set_has(&state->knots, search->tie_offs[i]);
    for (int i = 0; i < search->free_skipped_count && i < 64; i++)
        key[2] = key[2] << 1 | (uint64_t)set_has(&state->threaded, search->free_skipped[i]);
    return search->tie_off_count + search->free_skipped_count <= 64 && state->stretch < 1 << 12;
}

/* The first values stand for what is known without more. */
enum { VALUE_NEVER = 1, VALUE_NOTHING, FIRST_LEAST };
static const struct least nothing = {{0}}, never = {{NO_WAY, NO_WAY, NO_WAY, NO_WAY, NO_WAY}};

static uint32_t value_of(struct search *search, const struct least *least) {
    if (least->by[AIM_CHANGES] == NO_WAY) return VALUE_NEVER;
    if (search->problem->question.first_will_do) return VALUE_NOTHING;
    *array_add(search->arena, &search->leasts) = *least;
    return FIRST_LEAST - 1 + (uint32_t)search->leasts.count;
}

static struct least least_of(const struct search *search, uint32_t value) {
    return value == VALUE_NEVER     ? never
           : value == VALUE_NOTHING ? nothing
                                    : search->leasts.at[value - FIRST_LEAST];
}

struct least measure(struct search *search, const struct state *state) {
    if (is_whole(search, state)) return nothing;
    if (is_dead_end(search, state)) return never;
    uint64_t key[3];
    if (!key_of(search, state, key)) return nothing;
    struct entry *known = table_find(&search->measured, search->arena, key);
    if (known == NULL) return nothing;
    if (known->value != 0) return least_of(search, known->value);
    if (++search->outcome->nodes >= most_nodes(search)) return nothing;
    struct state from = *state;
    struct least least = never, *outer = search->least;
    bool measuring = search->measuring;
    for (int aim = 0; aim < AIMS; aim++)
        from.cost[aim] = 0;
    search->least = &least;
    search->measuring = true;
    expand_state(search, &from);
    search->least = outer;
    search->measuring = measuring;
    known = table_find(&search->measured, search->arena, key); /* it may have moved */
    if (known != NULL) known->value = value_of(search, &least);
    return least;
}

/* Takes what has come of a step, whose cost counts from the state before it, into account there. Of
 * the aims that lead and simply add up only the best of all counts, and of the others what goes
 * with it: what is worse in those is worse. */
void take_least(struct search *search, const struct state *state) {
    bool enough = search->problem->question.first_will_do;
    if (enough && search->least->by[AIM_CHANGES] != NO_WAY) return;
    if (is_whole(search, state) && !ends_as_asked(search, state)) return;
    struct least *least = search->least, after = measure(search, state);
    if (after.by[AIM_CHANGES] == NO_WAY) return;
    for (int aim = 0; aim < AIMS; aim++) {
        int64_t cost = state->cost[aim], rest = after.by[aim];
        int64_t both = aim != AIM_LONGEST_LOOP ? cost + rest : cost > rest ? cost : rest;
        after.by[aim] = (int32_t)both;
    }
    bool leads = true, better = false;
    for (int i = 0; i < AIMS; i++) {
        enum aim aim = search->problem->order[i];
        leads &= aim != AIM_LOOPS_OVER && aim != AIM_LONGEST_LOOP;
        if (leads && !better && after.by[aim] > least->by[aim]) return;
        better |= leads && after.by[aim] < least->by[aim];
        if (better || after.by[aim] < least->by[aim]) least->by[aim] = after.by[aim];
    }
}
