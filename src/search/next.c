/* What is done next in a search: strands, starts and knots that are left to be found, and what is
 * written; each is looked into. */
#include "search/state.h"

/* ---- what is found ---- */

/* False where only one way is looked at, and goes on otherwise. */
static bool add_token(struct search *search, struct state *state, struct token token) {
    const struct route_way *only = search->problem->question.only;
    if (only != NULL) {
        const struct token *next = &only->tokens[state->tokens];
        if (state->tokens == only->count || token.kind != next->kind || token.end != next->end ||
            token.strand != next->strand || token.enter != next->enter)
            return false;
    }
    search->tokens[state->tokens++] = token;
    return true;
}

/* Puts an item where it belongs among others, the one with the shortest way first. */
static void insert_by_way(int *items, int64_t *ways, int count, int item, int64_t way) {
    int at = count;
    for (; at > 0 && ways[at - 1] > way; at--) {
        items[at] = items[at - 1];
        ways[at] = ways[at - 1];
    }
    items[at] = item;
    ways[at] = way;
}

static void string_strand(struct search *search, const struct state *state, int e, int strand) {
    struct entries entries = found_entries(search, e, state->ends[e].where, strand);
    for (int i = 0; i < entries.count; i++) {
        struct state next = *state;
        int enter = entries.hole[i];
        struct token token = {.kind = TOKEN_STRAND,
                              .end = e,
                              .strand = strand,
                              .from = state->ends[e].where,
                              .enter = enter,
                              .from_said = entries.draw};
        if (add_token(search, &next, token) && thread(search, &next, e, strand, enter, true) &&
            pull(search, &next, e, strand, enter, true))
            look(search, &next);
    }
}

static void do_stretch(struct search *search, const struct state *state);

/* The start of a cross string, and at once its first strand, which is found, or begins what is
 * written next. */
static void start_string(struct search *search, const struct state *state, int e, int strand,
                         bool written) {
    const int *holes = strand_at(search, strand)->holes;
    for (int side = 0; side < 2; side++)
        for (int i = 0; i < search->tie_off_count; i++) {
            int hole = search->tie_offs[i];
            enum side right_first = side == 0 ? SIDE_RIGHT : SIDE_LEFT;
            if (search->problem->mirrored) right_first = other_side(right_first);
            bool here = search->frame->holes[hole].side == right_first ||
                        (side == 1 && search->frame->holes[hole].side == SIDE_CENTRE);
            if (!here || hole == holes[0] || hole == holes[1]) continue;
            if (!takes_knot(search, state, hole, NO_HOLE)) continue;
            struct state next = *state;
            struct token token = {
                .kind = TOKEN_START, .end = e, .strand = NO_STRAND, .from = NO_HOLE, .enter = hole};
            if (!add_token(search, &next, token) || !start(search, &next, e, hole, true)) continue;
            if (written)
                do_stretch(search, &next);
            else
                string_strand(search, &next, e, strand);
        }
}

static void string_cross(struct search *search, const struct state *state, int e, int strand) {
    const int *holes = strand_at(search, strand)->holes;
    int where = state->ends[e].where;
    if (where != NO_HOLE) {
        bool at_start = e >= search->problem->mains_ends && state->ends[e].strands == 0;
        if (!at_start || (where != holes[0] && where != holes[1]))
            string_strand(search, state, e, strand);
    } else if (e >= search->problem->mains_ends && search->problem->free_start) {
        start_string(search, state, e, strand, false);
    }
}

/* The centre main, where it is left to be found and the end can begin with it. */
static int centre_main(const struct search *search, const struct state *state, int e) {
    bool found = search->centre != NO_STRAND && !search->problem->written[search->centre] &&
                 !set_has(&state->threaded, search->centre) && state->ends[e].strands == 0;
    return found ? search->centre : NO_STRAND;
}

/* How far an end has to go for a cross; from nowhere the nearest is the first in order. -1: it does
 * not reach it. */
static int64_t way_to(struct search *search, const struct state *state, int e, int strand) {
    int where = state->ends[e].where, last = search->problem->strands;
    if (where == NO_HOLE) return search->crosses_from == PLACE_THROAT ? last - strand : strand;
    struct entries entries = found_entries(search, e, where, strand);
    return entries.count > 0 ? arc_of(search, where, entries.hole[0])->length : -1;
}

/* Crosses an end may string next, the nearest first. */
static int list_crosses(struct search *search, const struct state *state, int e, int *crosses) {
    int count = 0;
    for (int c = 0; c < CLASSES; c++)
        if (state->next[c] < search->crosses[c])
            crosses[count++] = search->order_of[c][state->next[c]];
    for (int i = 0; i < search->free_skipped_count; i++)
        crosses[count++] = search->free_skipped[i];
    int kept = 0;
    int64_t ways[MOST_LOOPS];
    for (int i = 0; i < count; i++) {
        int cross = crosses[i];
        if (search->problem->written[cross] || set_has(&state->threaded, cross)) continue;
        if (!may_string_cross(search, state, e, cross)) continue;
        int64_t way = way_to(search, state, e, cross);
        if (way >= 0) insert_by_way(crosses, ways, kept++, cross, way);
    }
    return kept;
}

static void string_crosses(struct search *search, const struct state *state, int e) {
    int crosses[MOST_LOOPS];
    int count = list_crosses(search, state, e, crosses);
    for (int i = 0; i < count; i++)
        string_cross(search, state, e, crosses[i]);
}

static bool is_at_work(const struct state *state, int e) {
    return !state->ends[e].tied && state->ends[e].waiting == 0;
}

static void tie_end(struct search *search, const struct state *state, int e) {
    const struct problem *problem = search->problem;
    const struct worker *end = &state->ends[e];
    bool pulled_last =
        state->last == e || (end->as_written && state->pulls == state->pulls_written);
    if (!is_at_work(state, e) || !problem->free_knots[e] || !pulled_last || end->where == NO_HOLE ||
        problem->acts_left[e][state->stretch] > 0 || has_main_to_string(search, state, e))
        return;
    bool of_crosses = e >= problem->mains_ends;
    if (of_crosses && state->crosses_pulled < search->frame->cross_count) return;
    int holes[MOST_LOOPS], count = 0; /* the nearest first */
    int64_t ways[MOST_LOOPS];
    for (int i = 0; i < search->tie_off_count; i++) {
        int hole = search->tie_offs[i];
        if (takes_knot(search, state, hole, end->where))
            insert_by_way(holes, ways, count++, hole, arc_of(search, end->where, hole)->length);
    }
    for (int i = 0; i < count; i++) {
        struct state next = *state;
        struct token token = {.kind = TOKEN_TIE,
                              .end = e,
                              .strand = NO_STRAND,
                              .from = end->where,
                              .enter = holes[i]};
        if (add_token(search, &next, token) && tie(search, &next, e, holes[i], true))
            look(search, &next);
    }
}

static void string_mains(struct search *search, const struct state *state, int e) {
    if (e >= search->problem->mains_ends) return;
    int mains[] = {centre_main(search, state, e), next_main(search, state, e)};
    for (int i = 0; i < 2; i++)
        if (mains[i] != NO_STRAND) string_strand(search, state, e, mains[i]);
}

/* ---- what is written ---- */

static int written_hole(const struct search *search, const struct knot *knot, int where) {
    enum side side = knot->side;
    if (side == SIDE_UNSAID && where != NO_HOLE) side = search->frame->holes[where].side;
    if (side == SIDE_UNSAID) return NO_HOLE;
    return frame_hole(search->frame, side, knot->number, knot->place);
}

static int written_entry(struct search *search, const struct state *state, int e,
                         const struct pass *pass) {
    if (span_given(pass->from_span)) {
        int found = NO_HOLE, count = 0;
        for (int i = 0; i < 2; i++) {
            int hole = strand_at(search, pass->strand)->holes[i];
            const struct hole *at = &search->frame->holes[hole];
            bool fits = pass->from_side != SIDE_UNSAID ? at->side == pass->from_side
                                                       : at->place == pass->from_place;
            if (fits) found = hole;
            count += fits;
        }
        return count == 1 ? found : NO_HOLE;
    }
    int where = state->ends[e].where;
    if (where == NO_HOLE &&
        (e >= search->problem->mains_ends || strand_at(search, pass->strand)->kind == CROSS))
        return NO_HOLE;
    struct entries entries = entries_to(search, e, where, pass->strand);
    return entries.count == 1 ? entries.hole[0] : NO_HOLE;
}

/* By pass of an end, the hole it was entered by: looked up among what it did. */
static bool do_act(struct search *search, struct state *state, const struct act *act,
                   int *entered) {
    const struct end *end = &search->problem->scratch.ends[act->end];
    int e = act->end, hole;
    const struct pass *pass = NULL;
    if (state->ends[e].tied) return false;
    switch (act->kind) {
    case ACT_THREAD:
        pass = &end->passes.at[act->pass];
        hole = written_entry(search, state, e, pass);
        if (hole == NO_HOLE) return false;
        entered[pass->strand] = hole;
        return thread(search, state, e, pass->strand, hole, false);
    case ACT_PULL:
        pass = &end->passes.at[act->pass];
        return pull(search, state, e, pass->strand, entered[pass->strand], false);
    case ACT_START:
        hole = written_hole(search, &end->start, NO_HOLE);
        return hole != NO_HOLE && (end->start_clamped || main_stands(search, state, hole)) &&
               start(search, state, e, hole, false);
    case ACT_TIE:
        hole = written_hole(search, &end->tie, state->ends[e].where);
        return hole != NO_HOLE && main_stands(search, state, hole) &&
               tie(search, state, e, hole, false);
    }
    return false;
}

static void do_stretch(struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    const struct stretch *stretch = &problem->stretches.at[state->stretch];
    struct state next = *state;
    int entered[MOST_LOOPS];
    for (int s = 0; s < problem->strands; s++)
        entered[s] = NO_HOLE;
    struct token token = {.kind = TOKEN_WRITTEN,
                          .strand = NO_STRAND,
                          .from = NO_HOLE,
                          .enter = NO_HOLE,
                          .stretch = next.stretch++};
    bool fits = add_token(search, &next, token);
    for (size_t i = 0; fits && i < stretch->acts; i++)
        fits = do_act(search, &next, &problem->scratch.acts.at[stretch->first_act + i], entered);
    next.pulls_written = next.pulls;
    if (fits) look(search, &next);
}

/* A stretch may begin the cross string, whose start is left to be found. */
static void do_next_stretch(struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (state->stretch == (int)problem->stretches.count) return;
    const struct stretch *stretch = &problem->stretches.at[state->stretch];
    const struct act *first = &problem->scratch.acts.at[stretch->first_act];
    bool begins = stretch->acts > 0 && first->kind == ACT_THREAD && problem->free_start &&
                  first->end >= problem->mains_ends && state->ends[first->end].where == NO_HOLE;
    int strand = begins ? problem->scratch.ends[first->end].passes.at[first->pass].strand : 0;
    if (begins)
        start_string(search, state, first->end, strand, true);
    else
        do_stretch(search, state);
}

/* Whether what is written next is a start or a knot alone: mains go before it. */
static bool is_only_knot(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (state->stretch == (int)problem->stretches.count) return false;
    const struct stretch *stretch = &problem->stretches.at[state->stretch];
    enum act_kind first = problem->scratch.acts.at[stretch->first_act].kind;
    return stretch->acts == 1 && (first == ACT_TIE || first == ACT_START);
}

/* The other ends in their order, from 1. */
static int nth_other(const struct search *search, int first, int n) {
    int ends = search->problem->ends;
    if (!search->problem->mirrored) return (first + n) % ends;
    int mirrored = first < 2 ? 1 - first : first, other = (mirrored + n) % ends;
    return other < 2 ? 1 - other : other;
}

/* Everything that may be done next, the likeliest first: what is found early cuts off the rest. */
static void go_on(struct search *search, const struct state *state, int first) {
    int ends = search->problem->ends;
    if (!is_only_knot(search, state)) do_next_stretch(search, state);
    for (int i = 0; i < ends; i++) {
        int e = i == 0 ? first : nth_other(search, first, i);
        if (is_at_work(state, e)) string_mains(search, state, e);
    }
    for (int i = 0; i < ends; i++) {
        int e = search->problem->mirrored && i < 2 ? 1 - i : i;
        if (e == 1 || (ends == 3 && e == 0)) tie_end(search, state, e);
    }
    if (is_only_knot(search, state)) do_next_stretch(search, state);
    for (int i = 0; i < ends; i++) {
        int e = i == 0 ? first : nth_other(search, first, i);
        if (is_at_work(state, e)) string_crosses(search, state, e);
    }
    for (int e = 0; e < ends; e++)
        if (e != 1 && !(ends == 3 && e == 0)) tie_end(search, state, e);
}

void expand_state(struct search *search, const struct state *state) {
    go_on(search, state, state->last != NO_END ? state->last : search->problem->begins);
}
