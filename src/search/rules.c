/* What may be done in a search: threading, pulling, starts and knots, and the loops they make. */
#include "search/state.h"

static bool is_outermost(const struct search *search, int strand) {
    return strand == search->outermost[0] || strand == search->outermost[1];
}

bool is_plain_main(const struct search *search, int strand) {
    const struct problem *problem = search->problem;
    return strand_at(search, strand)->kind == MAIN && !problem->held[strand] &&
           !(problem->around && is_outermost(search, strand));
}

/* ---- loops ---- */

/* By how many holes a hole lies on from where an arc starts, clockwise. */
static int holes_on(const struct frame *frame, const struct arc *arc, int hole) {
    int on = hole - arc->start;
    return on < 0 ? on + frame->hole_count : on;
}

/* Whether one hole of the other lies within an arc and the other beyond it, none of them shared. */
static bool arcs_cross(const struct frame *frame, const struct arc *arc, const struct arc *other) {
    int from = holes_on(frame, arc, other->from), to = holes_on(frame, arc, other->to);
    return from < to ? from > 0 && from < arc->span && to > arc->span
                     : to > 0 && to < arc->span && from > arc->span;
}

/* The lane that guides at the holes of an arc leave to its loop. */
static void note_guides(const struct frame *frame, struct arc *arc) {
    for (int i = 0; i <= arc->span; i++) {
        enum lane guide = frame->holes[(arc->start + i) % frame->hole_count].guide;
        if (guide == LANE_UNSAID) continue;
        arc->torn |= arc->lane != LANE_UNSAID && arc->lane != guide;
        arc->lane = guide;
    }
}

static enum lane other_lane(enum lane lane) { return lane == LANE_FRONT ? LANE_BACK : LANE_FRONT; }

/* Whether the last loop can lie in a lane: what it crosses then lies in the other, what that
 * crosses in this one, and so on, as guides allow. */
static bool fits_lane(const struct search *search, int loops, enum lane of_last) {
    struct set lanes[LANES] = {{{0}}}, to_see = {{0}};
    set_add(&lanes[of_last], loops - 1);
    set_add(&to_see, loops - 1);
    for (int loop; (loop = set_first(&to_see)) >= 0;) {
        enum lane lane = set_has(&lanes[LANE_FRONT], loop) ? LANE_FRONT : LANE_BACK;
        struct set *other = &lanes[other_lane(lane)];
        set_put(&to_see, loop, false);
        for (int w = 0; w <= (loops - 1) / 64; w++) {
            uint64_t joined = set_below(&search->crossing[loop], w, loops);
            if (joined & (lanes[lane].word[w] | search->guided[lane].word[w])) return false;
            to_see.word[w] |= joined & ~other->word[w];
            other->word[w] |= joined;
        }
    }
    return true;
}

/* Whether the loops lie clear in their lanes, as they did without the last. */
static bool lanes_fit(const struct search *search, int loops) {
    bool front = set_has(&search->guided[LANE_FRONT], loops - 1);
    bool back = set_has(&search->guided[LANE_BACK], loops - 1);
    if (!back && fits_lane(search, loops, LANE_FRONT)) return true;
    return !front && search->problem->guided && fits_lane(search, loops, LANE_BACK);
}

/* Whether an arc lies within another, both holes included. */
static bool arc_within(const struct frame *frame, const struct arc *inner,
                       const struct arc *outer) {
    return inner->span <= outer->span &&
           holes_on(frame, outer, inner->start) + inner->span <= outer->span;
}

static void add_length(struct state *state, const struct arc *arc) {
    state->cost[AIM_LOOP_LENGTH] += arc->length;
    if (arc->length > state->cost[AIM_LONGEST_LOOP]) state->cost[AIM_LONGEST_LOOP] = arc->length;
}

const struct arc *arc_of(struct search *search, int from, int to) {
    struct arc *arc = &search->arcs[from * search->frame->hole_count + to];
    if (arc->span == 0) {
        *arc = loop_arc(search->frame, from, to);
        if (search->problem->guided) note_guides(search->frame, arc);
    }
    return arc;
}

/* False where the loop is not allowed. One that is `written` may be long, unless a line says how
 * long. */
static bool add_loop(struct search *search, struct state *state, int from, int to, bool written) {
    const struct problem *problem = search->problem;
    const struct frame *frame = search->frame;
    int loop = state->loops;
    if (loop == MOST_LOOPS) return false;
    const struct arc *arc = arc_of(search, from, to);
    if ((!written || problem->loops_most >= 0) && !loop_is_legal(problem, arc)) return false;
    if (search->measuring) {
        add_length(state, arc);
        return true;
    }
    search->loops[loop] = *arc;
    bool crosses = false, over = false;
    set_put(&search->guided[LANE_FRONT], loop, arc->lane == LANE_FRONT);
    set_put(&search->guided[LANE_BACK], loop, arc->lane == LANE_BACK);
    search->crossing[loop] = (struct set){{0}};
    for (int i = 0; i < loop; i++) {
        const struct arc *other = &search->loops[i];
        bool cross = arcs_cross(frame, arc, other);
        set_put(&search->crossing[loop], i, cross);
        set_put(&search->crossing[i], loop, cross);
        crosses |= cross;
        if (arc_within(frame, other, arc)) {
            over = true; /* with the same arc the later lies over the other */
        } else if (arc_within(frame, arc, other) && !set_has(&state->over, i)) {
            set_add(&state->over, i);
            state->cost[AIM_LOOPS_OVER]++;
        }
    }
    state->loops++;
    if (over) {
        set_add(&state->over, loop);
        state->cost[AIM_LOOPS_OVER]++;
    }
    add_length(state, arc);
    bool one_lane = frame->lanes == 1 && !problem->question.any_lane;
    if (arc->torn || (one_lane && crosses)) return false;
    return (!crosses && !problem->guided) || lanes_fit(search, state->loops);
}

/* ---- threading ---- */

static const int64_t CLEARLY_LESS = 2000; /* thousandths of a mm: nothing a rounding could change */

struct entries entries_to(struct search *search, int e, int where, int strand) {
    const int *holes = search->frame->strands[strand].holes;
    if (where == NO_HOLE && e < search->problem->mains_ends)
        return (struct entries){{holes[search->mains_from == PLACE_HEAD ? 0 : 1]}, .count = 1};
    if (where == holes[0] || where == holes[1])
        return (struct entries){{where == holes[0] ? holes[1] : holes[0]}, .count = 1};
    int64_t less =
        arc_of(search, where, holes[1])->length - arc_of(search, where, holes[0])->length;
    if (less > CLEARLY_LESS) return (struct entries){{holes[0]}, .count = 1};
    if (less < -CLEARLY_LESS) return (struct entries){{holes[1]}, .count = 1};
    double first = hoop_distance(search->frame, where, holes[0]);
    double second = hoop_distance(search->frame, where, holes[1]);
    int nearer = first <= second ? 0 : 1;
    bool draw = first - second < LEAST_CHOICE_MM && second - first < LEAST_CHOICE_MM;
    return (struct entries){
        .hole = {holes[nearer], holes[1 - nearer]}, .count = draw ? 2 : 1, .draw = draw};
}

struct entries found_entries(struct search *search, int e, int where, int strand) {
    if (where == NO_HOLE) return entries_to(search, e, where, strand);
    struct entries *found = &search->entries[where * search->problem->strands + strand];
    if (found->known) return *found;
    struct entries all = entries_to(search, e, where, strand);
    *found = (struct entries){.draw = all.draw, .known = true};
    for (int i = 0; i < all.count; i++)
        if (all.hole[i] != where &&
            loop_is_legal(search->problem, arc_of(search, where, all.hole[i])))
            found->hole[found->count++] = all.hole[i];
    return *found;
}

static int leave_of(const struct search *search, int strand, int enter) {
    const int *holes = search->frame->strands[strand].holes;
    return holes[0] == enter ? holes[1] : holes[0];
}

/* Both ends begin at the place that is looked for. Where they are written to begin at different
 * ones there is no such place, and that is looked for once. */
static bool begins_as_looked_for(const struct search *search, const struct state *state) {
    const struct worker *a = &state->ends[0], *b = &state->ends[1];
    if (search->problem->mains_from != PLACE_UNSAID) return true;
    if (a->begins == PLACE_UNSAID || b->begins == PLACE_UNSAID) return true;
    if (a->begins == b->begins) return a->begins == search->mains_from;
    return a->begins_written && b->begins_written && search->mains_from == PLACE_HEAD;
}

/* The fold lies once both its ends have their first strand. */
static bool add_fold(struct search *search, struct state *state, int e) {
    if (e >= search->problem->mains_ends) return true;
    int other = state->ends[1 - e].first;
    bool written = state->ends[0].as_written && state->ends[1].as_written;
    return other == NO_HOLE || add_loop(search, state, other, state->ends[e].first, written);
}

bool thread(struct search *search, struct state *state, int e, int strand, int enter, bool found) {
    struct worker *end = &state->ends[e];
    if (enter == end->where) return false;
    set_add(&state->threaded, strand);
    state->least_to_come -= search->problem->least_way[strand];
    end->way = way_on(search, end->way, e, strand, enter);
    end->strands++;
    end->waiting++;
    int from = end->where;
    end->where = leave_of(search, strand, enter);
    bool written = !found && end->as_written;
    end->as_written = !found;
    if (from != NO_HOLE) return add_loop(search, state, from, enter, written);
    end->first = enter;
    if (e < search->problem->mains_ends && strand_at(search, strand)->kind == MAIN) {
        end->begins = search->frame->holes[enter].place;
        end->begins_written = !found;
    }
    return begins_as_looked_for(search, state) && add_fold(search, state, e);
}

/* ---- pulling ---- */

/* Whether ways without late mains are known, and nothing else can be better. */
static bool no_late_mains(const struct search *search) {
    const struct outcome *outcome = search->outcome;
    return search->problem->order[0] == AIM_LATE_MAINS && outcome->count == search->most &&
           outcome->ways[outcome->count - 1].cost[AIM_LATE_MAINS] == 0;
}

enum class class_of(const struct search *search, int strand) {
    const struct problem *problem = search->problem;
    if (strand_at(search, strand)->kind != CROSS || problem->skipped[strand]) return CLASSES;
    return problem->held[strand] ? CLASS_HELD : CLASS_PLAIN;
}

/* What one end may lead the other by; `found` where the pull is. Ends have changed among the pulls
 * of mains as soon as either has made one. */
static bool pull_main(const struct problem *problem, struct state *state, int e, bool found) {
    int others = state->ends[1 - e].mains, mains = ++state->ends[e].mains;
    if (others + mains == 1 && e != problem->begins) return false;
    return (!found && !problem->ahead_said) ||
           mains - others <= (others > 0 ? problem->ahead_then : problem->ahead_first);
}

/* Of around the world: both outermost mains late, one up and one down. */
static bool pull_outermost(struct search *search, struct state *state, int strand, int enter) {
    int side = search->outermost[0] == strand ? 0 : 1;
    if (state->crosses_pulled == 0) return false;
    state->around[side] = enter;
    int other = state->around[1 - side];
    const struct hole *holes = search->frame->holes;
    return other == NO_HOLE || holes[other].place != holes[enter].place;
}

/* An end goes on with one class of crosses: its runs of others are over, but for a cross to be
 * skipped; and so are the runs of others of this one, or all of them where runs are not to be
 * broken.
 */
static void go_on_with(const struct search *search, struct state *state, int e, int strand) {
    enum class class = class_of(search, strand);
    bool skipped = search->problem->skipped[strand];
    bool around = search->problem->around && !has_main_to_string(search, state, e);
    for (int other = 0; other < MOST_ENDS; other++)
        for (int c = 0; c < CLASSES; c++) {
            enum running *run = &state->ends[other].run[c];
            bool over = other == e ? c != (int)class && !skipped
                                   : c == (int)class || (search->runs_unbroken && !around);
            if (over && *run == RUN_ON) *run = RUN_OVER;
        }
    if (class != CLASSES) state->ends[e].run[class] = RUN_ON;
}

bool is_asked_of(const struct problem *problem, int e, int strand) {
    return problem->by[strand] == NO_END || problem->by[strand] == e;
}

/* Whether the last knot can still lie where it is asked for. */
static bool finish_in_reach(const struct problem *problem, struct state *state, int strand) {
    if (problem->finishes == NULL) return true;
    state->finishing_left -= problem->finishes[strand];
    return state->pulls < problem->strands ? state->finishing_left > 0 : problem->finishes[strand];
}

bool pull(struct search *search, struct state *state, int e, int strand, int enter, bool found) {
    const struct problem *problem = search->problem;
    struct worker *end = &state->ends[e];
    enum class class = class_of(search, strand);
    const struct strand *of = strand_at(search, strand);
    set_add(&state->pulled, strand);
    state->pulls++;
    end->waiting--;
    if (!finish_in_reach(problem, state, strand)) return false;
    if (!is_asked_of(problem, e, strand)) return false;
    if (problem->held[strand] ? state->unheld_left > 0 : state->unheld_left-- <= 0) return false;
    go_on_with(search, state, e, strand);
    if (class != CLASSES && problem->crosses_free &&
        search->order_of[class][state->next[class]++] != strand)
        return false;
    if (is_plain_main(search, strand)) {
        state->plain_mains_left--;
        if (state->crosses_pulled > 0) state->cost[AIM_LATE_MAINS]++;
    }
    if (problem->around && is_outermost(search, strand) &&
        !pull_outermost(search, state, strand, enter))
        return false;
    state->crosses_pulled += of->kind == CROSS;
    if (of->kind == CROSS && state->plain_mains_left > 0 && no_late_mains(search)) return false;
    bool of_mains = e < problem->mains_ends; /* a cross end may be written to pull a main */
    if (of_mains && is_sided_main(of) && !pull_main(problem, state, e, found)) return false;
    if (search->scarce && !search->measuring &&
        !holds_after_pull(&state->holds, search->clamps, e, other_end(problem->pattern, e),
                          problem->scratch.ends[e].start_clamped))
        return false;
    if (state->last != NO_END && state->last != e) state->cost[AIM_CHANGES]++;
    state->last = e;
    return true;
}

/* ---- knots ---- */

bool takes_knot(const struct search *search, const struct state *state, int hole, int leave) {
    if (hole == leave || set_has(&state->knots, hole)) return false;
    int main = hole_main(search->frame, hole);
    return main != NO_STRAND && set_has(&state->pulled, main);
}

bool main_stands(const struct search *search, const struct state *state, int hole) {
    int main = hole_main(search->frame, hole);
    return main == NO_STRAND || set_has(&state->pulled, main);
}

bool tie(struct search *search, struct state *state, int e, int hole, bool found) {
    struct worker *end = &state->ends[e];
    if (end->where == NO_HOLE || end->where == hole || end->waiting > 0 ||
        set_has(&state->knots, hole))
        return false;
    set_add(&state->knots, hole);
    end->way = way_on(search, end->way, e, NO_STRAND, hole);
    end->tied = true;
    state->last_tied = e;
    if (search->scarce && !search->measuring && !holds_after_tie(&state->holds, search->clamps, e))
        return false;
    return add_loop(search, state, end->where, hole, !found && end->as_written);
}

bool start(struct search *search, struct state *state, int e, int hole, bool found) {
    struct worker *end = &state->ends[e];
    if (end->strands > 0 || end->where != NO_HOLE || set_has(&state->knots, hole)) return false;
    set_add(&state->knots, hole);
    end->way = way_on(search, end->way, e, NO_STRAND, hole);
    end->where = hole;
    end->as_written = !found;
    bool by_clamp = !found && search->problem->scratch.ends[e].start_clamped;
    return !search->scarce || search->measuring || by_clamp || holds_after_start(&state->holds);
}

/* ---- when all is done ---- */

bool is_whole(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (state->pulls < problem->strands || state->stretch < (int)problem->stretches.count)
        return false;
    for (int e = 0; e < problem->ends; e++)
        if (!state->ends[e].tied) return false;
    return true;
}

bool ends_as_asked(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (problem->finish == PLACE_UNSAID) return true;
    for (int i = state->tokens; i-- > 0;) {
        const struct token *token = &search->tokens[i];
        int hole = NO_HOLE;
        if (token->kind == TOKEN_TIE) hole = token->enter;
        if (token->kind == TOKEN_WRITTEN) {
            const struct stretch *stretch = &problem->stretches.at[token->stretch];
            if (stretch->acts == 0) continue;
            const struct act *last =
                &problem->scratch.acts.at[stretch->first_act + stretch->acts - 1];
            if (last->kind != ACT_TIE) continue;
            return problem->scratch.ends[last->end].tie.place == problem->finish;
        }
        if (hole != NO_HOLE) return search->frame->holes[hole].place == problem->finish;
    }
    return false;
}
