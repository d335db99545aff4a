/* What a search for legs is asked and what becomes of it. */
#include "search/problem.h"

#include "ground/limits.h"

bool wants_legs(const struct pattern *pattern) {
    return pattern->legs_sound &&
           (pattern->legs.count == 0 || span_given(pattern->intents.find_span));
}

struct search_result search_ways(const struct pattern *pattern, int most, bool set_legs_aside,
                                 struct arena *arena) {
    struct search_result result = {0};
    struct problem problem;
    bool *kept = arena_many(arena, bool, wish_count(pattern));
    for (int i = 0; i < wish_count(pattern); i++)
        kept[i] = true;
    for (size_t i = 0; set_legs_aside && i < pattern->legs.count; i++)
        kept[leg_wish(i)] = false;
    struct question question = {.kept = kept, .without_legs = set_legs_aside};
    if (!pose_problem(&problem, pattern, question, arena)) return result;
    struct outcome outcome = search_routes(&problem, most);
    result.posed = true;
    result.proved = outcome.proved;
    result.nodes = outcome.nodes;
    for (int i = 0; i < outcome.count; i++)
        *array_add(arena, &result.ways) = way_as_legs(&problem, &outcome.ways[i]);
    return result;
}

void find_legs(struct pattern *pattern, struct arena *arena, struct report *report) {
    struct search_result result = search_ways(pattern, 1, false, arena);
    if (!result.posed) return; /* what is written is wrong by itself, which is told of it */
    if (result.ways.count == 0) {
        tell_conflict(pattern, arena, report, result.proved);
        pattern->legs_sound = false;
        return;
    }
    pattern->found = arena_one(arena, struct found_legs);
    pattern->found->proved = result.proved;
    pattern->found->nodes = result.nodes;
    pattern->found->span = place_of_found(pattern);
    *pattern = *pattern_with_way(pattern, &result.ways.at[0], arena);
    pattern->found->why = result.ways.at[0].why.at;
    pattern->found->crosses_from = result.ways.at[0].crosses_from;
    if (result.proved) return;
    struct finding *finding = report_add(
        report, RULE_not_proved, pattern->span,
        "legs were found, but the search was cut short after %d states: there may be better ones",
        LIMIT_SEARCH_NODES);
    finding_help(report, finding,
                 "say more of what you insist on: where the mains begin, from where the crosses "
                 "come; or write the legs out");
}
