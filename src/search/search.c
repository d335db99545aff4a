/* What a search for legs is asked and what becomes of it. */
#include "search/problem.h"

#include "ground/limits.h"

bool wants_legs(const struct pattern *pattern) {
    return pattern->legs_sound &&
           (pattern->legs.count == 0 || span_given(pattern->intents.find_span));
}

struct search_result search_ways(const struct pattern *pattern, int most, bool set_legs_aside,
                                 long most_nodes, struct arena *arena) {
    struct search_result result = {0};
    struct problem problem;
    bool *kept = arena_many(arena, bool, wish_count(pattern));
    for (int i = 0; i < wish_count(pattern); i++)
        kept[i] = true;
    for (size_t i = 0; set_legs_aside && i < pattern->legs.count; i++)
        kept[leg_wish(i)] = false;
    struct question question = {
        .kept = kept, .without_legs = set_legs_aside, .most_nodes = most_nodes};
    if (!pose_problem(&problem, pattern, question, arena)) return result;
    struct outcome outcome = search_routes(&problem, most);
    result.posed = true;
    result.proved = outcome.proved;
    result.complete = outcome.complete;
    result.nodes = outcome.nodes;
    for (int i = 0; i < outcome.count; i++)
        *array_add(arena, &result.ways) = way_as_legs(&problem, &outcome.ways[i]);
    return result;
}

/* "1,000,000 states" */
static const char *states_words(struct arena *arena, long nodes) {
    int states = (int)nodes, millions = states / 1000000, thousands = states / 1000 % 1000;
    if (millions > 0)
        return format(arena, "%d,%03d,%03d states", millions, thousands, states % 1000);
    if (thousands > 0) return format(arena, "%d,%03d states", thousands, states % 1000);
    return format(arena, "%d states", states);
}

void note_others_took(struct report *report, struct finding *finding) {
    finding_note(report, finding, (struct span){0},
                 "other patterns of this text took what a text may take; by itself, with -p, it "
                 "has more");
}

/* What is said of a search that was cut short, with a way or without one. */
static void tell_cut_short(const struct pattern *pattern, struct arena *arena,
                           struct report *report, const struct search_result *result) {
    bool found = result->ways.count > 0, skips = pattern->intents.skip.has != NULL;
    struct finding *finding = report_add(
        report, found ? RULE_not_proved : RULE_not_found, place_of_found(pattern),
        found ? "legs were found, but the search was cut short after %s: there may be better ones"
              : "no way to string it was found before the search was cut short after %s; there may "
                "be one",
        states_words(arena, result->nodes));
    if (result->nodes < LIMIT_SEARCH_NODES) note_others_took(report, finding);
    finding_help(report, finding, "%s%s", skips ? "skip fewer crosses, or " : "",
                 found ? "say more of what you insist on: where the mains begin, from where the "
                         "crosses come; or write the legs out"
                       : "write some of the legs out");
}

void find_legs(struct pattern *pattern, struct arena *arena, struct report *report, long *left) {
    long most = *left < LIMIT_SEARCH_LATE    ? LIMIT_SEARCH_LATE
                : *left < LIMIT_SEARCH_NODES ? *left
                                             : LIMIT_SEARCH_NODES;
    bool others_took = *left < LIMIT_SEARCH_ALL;
    struct search_result result = search_ways(pattern, 1, false, most, arena);
    if (!result.posed) return; /* what is written is wrong by itself, which is told of it */
    *left -= result.nodes;
    if (result.ways.count == 0) {
        if (result.proved)
            tell_conflict(pattern, arena, report, left, others_took);
        else
            tell_cut_short(pattern, arena, report, &result);
        pattern->legs_sound = false;
        return;
    }
    const struct found_way *way = &result.ways.at[0];
    struct found_legs *found = arena_one(arena, struct found_legs);
    *found = (struct found_legs){.proved = result.proved,
                                 .span = place_of_found(pattern),
                                 .why = way->why.at,
                                 .crosses_from = way->crosses_from};
    *pattern = *pattern_with_way(pattern, way, arena);
    pattern->found = found;
    if (!result.proved) tell_cut_short(pattern, arena, report, &result);
}
