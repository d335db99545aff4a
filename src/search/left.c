/* What a state leaves to be done, and whether it still can be: dead ends are seen early. */
#include "search/state.h"

/* ---- what is left ---- */

int next_main(const struct search *search, const struct state *state, int e) {
    for (int i = 0; i < search->mains_of_side[e]; i++) {
        int strand = search->mains_from_centre[e][i];
        if (!set_has(&state->threaded, strand))
            return search->problem->written[strand] ? NO_STRAND : strand;
    }
    return NO_STRAND;
}

bool has_main_to_string(const struct search *search, const struct state *state, int e) {
    if (e >= search->problem->mains_ends) return false;
    for (int i = search->mains_of_side[e] - 1; i >= 0; i--)
        if (!set_has(&state->threaded, search->mains_from_centre[e][i])) return true;
    return false;
}

bool may_string_cross(const struct search *search, const struct state *state, int e, int cross) {
    const struct problem *problem = search->problem;
    enum class class = class_of(search, cross);
    if (problem->ends == 3 && e < problem->mains_ends) return false;
    if (state->ends[e].tied || !is_asked_of(problem, e, cross)) return false;
    return class == CLASSES || state->ends[e].run[class] != RUN_OVER;
}

/* ---- dead ends ---- */

/* The long end strings no less than the short one: whether that can still be. */
static bool long_can_be_longer(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (!problem->long_is_longer) return true;
    int most_long =
        state->ends[0].tied ? state->ends[0].strands : problem->strands - state->ends[1].strands;
    int least_short = problem->strands - most_long;
    return most_long >= least_short;
}

/* A centre main that was left out can be strung by nobody any more. */
static bool centre_is_lost(const struct search *search, const struct state *state) {
    int centre = search->centre;
    if (centre == NO_STRAND || search->problem->written[centre]) return false;
    return !set_has(&state->threaded, centre) && state->ends[0].strands > 0 &&
           state->ends[1].strands > 0;
}

/* Whether strands are left that only tied ends could string. */
static bool strands_are_lost(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (state->pulls == problem->strands) return false;
    int working = 0;
    for (int e = 0; e < problem->ends; e++)
        working += !state->ends[e].tied;
    return working == 0;
}

/* An end that has strung all it can, and was not tied then. */
static bool knot_is_lost(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    bool done = state->pulls == problem->strands;
    for (int e = 0; e < problem->ends; e++) {
        const struct worker *end = &state->ends[e];
        bool idle = done || (problem->ends == 3 && e < problem->mains_ends &&
                             !has_main_to_string(search, state, e));
        bool may_be_tied = state->last == e || end->as_written;
        if (idle && !end->tied && end->strands > 0 && problem->free_knots[e] && !may_be_tied &&
            problem->acts_left[e][state->stretch] == 0)
            return true;
    }
    return false;
}

/* A cross comes next that no end may string. */
static bool cross_is_lost(const struct search *search, const struct state *state) {
    for (int c = 0; c < CLASSES; c++) {
        if (state->next[c] == search->crosses[c]) continue;
        int cross = search->order_of[c][state->next[c]];
        bool lost = !search->problem->written[cross];
        for (int e = 0; e < search->problem->ends && lost; e++)
            lost = !may_string_cross(search, state, e, cross);
        if (lost) return true;
    }
    return false;
}

static bool reaches(struct search *search, const struct state *state, int e, int strand) {
    return found_entries(search, e, state->ends[e].where, strand).count > 0;
}

/* Whether an end can go on with a cross now, or once others have strung those before it; of a run
 * only with the next. */
static bool reaches_cross(struct search *search, const struct state *state, int e) {
    for (int c = 0; c < CLASSES; c++) {
        bool in_run = state->ends[e].run[c] == RUN_ON;
        for (int i = state->next[c]; i < search->crosses[c]; i++) {
            int cross = search->order_of[c][i];
            if (may_string_cross(search, state, e, cross) && reaches(search, state, e, cross))
                return true;
            if (in_run) break;
        }
    }
    for (int i = 0; i < search->free_skipped_count; i++) {
        int cross = search->free_skipped[i];
        if (!set_has(&state->threaded, cross) && may_string_cross(search, state, e, cross) &&
            reaches(search, state, e, cross))
            return true;
    }
    return false;
}

/* An end has mains to string and reaches nothing from where it is. */
static bool end_is_stuck(struct search *search, const struct state *state) {
    if (search->problem->stretches.count > 0) return false;
    for (int e = 0; e < search->problem->mains_ends; e++) {
        int main = next_main(search, state, e);
        if (main != NO_STRAND && state->ends[e].where != NO_HOLE &&
            !reaches(search, state, e, main) && !reaches_cross(search, state, e))
            return true;
    }
    return false;
}

bool is_dead_end(struct search *search, const struct state *state) {
    return knot_is_lost(search, state) || strands_are_lost(search, state) ||
           centre_is_lost(search, state) || cross_is_lost(search, state) ||
           end_is_stuck(search, state) || !long_can_be_longer(search, state);
}
