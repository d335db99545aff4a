/* What has been looked into. What each end has strung so far is a node of a tree, so that a state
 * is known by the nodes of its ends and a few more bits. */
#include "search/state.h"

#include "ground/limits.h"

enum { FIRST_ROOM = 256 };

static size_t slot_of(const struct table *table, const uint64_t key[3]) {
    uint64_t hash = (key[0] ^ (key[1] * 0x9E3779B97F4A7C15u) ^ (key[2] * 0xC2B2AE3D27D4EB4Fu)) *
                    0xD6E8FEB86659FD93u;
    size_t slot = (size_t)(hash ^ hash >> 32) & (table->room - 1);
    for (;; slot = (slot + 1) & (table->room - 1)) {
        const struct entry *entry = &table->at[slot];
        bool same = entry->key[0] == key[0] && entry->key[1] == key[1] && entry->key[2] == key[2];
        if (entry->value == 0 || same) return slot;
    }
}

static void grow(struct table *table, struct arena *arena) {
    struct table old = *table;
    table->room = old.room > 0 ? old.room * 2 : FIRST_ROOM;
    table->at = arena_many(arena, struct entry, table->room);
    for (size_t i = 0; i < old.room; i++)
        if (old.at[i].value != 0) table->at[slot_of(table, old.at[i].key)] = old.at[i];
}

struct entry *table_find(struct table *table, struct arena *arena, const uint64_t key[3]) {
    bool full = table->count * 2 >= table->room;
    if (full && table->room < LIMIT_SEARCH_STATES) {
        grow(table, arena);
        full = false;
    }
    struct entry *entry = &table->at[slot_of(table, key)];
    if (entry->value != 0) return entry;
    if (full) return NULL;
    for (int i = 0; i < 3; i++)
        entry->key[i] = key[i];
    table->count++;
    return entry;
}

uint32_t way_on(struct search *search, uint32_t way, int end, int strand, int hole) {
    if (way == 0 || search->measuring) return 0;
    uint64_t key[3] = {way, (uint64_t)(strand + 1), (uint64_t)hole << 2 | (uint64_t)end};
    struct entry *node = table_find(&search->nodes, search->arena, key);
    if (node == NULL) return 0;
    if (node->value == 0) node->value = ++search->next_node;
    return node->value;
}

/* A number for all the ways clamps can hold the ends: where they are short, orders of the same
 * pulls differ in it. 0 where there is no room. */
static uint32_t number_of_holds(struct search *search, const struct hold_states *holds) {
    uint32_t number = UINT32_MAX; /* no way's */
    for (int i = 0; i < HOLD_WORDS && number != 0; i++) {
        uint64_t key[3] = {number, holds->word[i], UINT64_MAX - (uint64_t)i};
        struct entry *node = table_find(&search->nodes, search->arena, key);
        if (node == NULL) return 0;
        if (node->value == 0) node->value = ++search->next_node;
        number = node->value;
    }
    return number;
}

bool is_known(struct search *search, const struct state *state) {
    uint64_t ways[MOST_ENDS] = {0}, holds = 0, rest = 0;
    for (int e = 0; e < search->problem->ends; e++) {
        ways[e] = state->ends[e].way;
        if (ways[e] == 0) return false;
        for (int c = 0; c < CLASSES; c++)
            rest = rest << 2 | (uint64_t)state->ends[e].run[c];
    }
    bool last_tied = search->problem->finish != PLACE_UNSAID;
    uint64_t kind = search->most > 1 ? (uint64_t)state->cost[AIM_LATE_MAINS] : 0;
    rest = rest << 2 | (uint64_t)(last_tied ? state->last_tied + 1 : 0);
    rest = rest << 2 | (uint64_t)(state->last + 1);
    rest = rest << 1 | (uint64_t)(state->pulls == state->pulls_written);
    rest = rest << 16 | kind;
    rest = rest << 16 | (uint64_t)state->stretch;
    if (search->scarce) {
        holds = number_of_holds(search, &state->holds);
        if (holds == 0) return false;
    }
    uint64_t key[3] = {ways[0] | ways[1] << 32, ways[2] | holds << 32, rest};
    struct entry *seen = table_find(&search->states, search->arena, key);
    if (seen == NULL) return false;
    uint32_t late = (uint32_t)state->cost[AIM_LATE_MAINS];
    uint32_t changes = (uint32_t)state->cost[AIM_CHANGES] + 1; /* so that no value is 0 */
    bool as_good = seen->value >> 16 <= late && (seen->value & 0xFFFF) <= changes;
    if (seen->value != 0 && (as_good || search->problem->question.first_will_do)) return true;
    seen->value = late << 16 | changes;
    return false;
}
