/* The search: depth first over everything that may be done next, cut off where the best ways known
 * cannot be bettered. A state is reached again and again by ways that differ only in when which end
 * worked, and looked into once. */
#include "search/state.h"

#include "ground/limits.h"

#include <string.h>

/* ---- what is best ---- */

static int compare_costs(const struct search *search, const int64_t *a, const int64_t *b) {
    for (int i = 0; i < AIMS; i++) {
        enum aim aim = search->problem->order[i];
        if (a[aim] != b[aim]) return a[aim] < b[aim] ? -1 : 1;
    }
    return 0;
}

/* Whether an end that did not pull last has mains to pull: one more change at the least. What is
 * written may leave a main to a cross end. */
static int others_have_work(const struct search *search, const struct state *state) {
    for (int e = 0; e < search->problem->mains_ends && state->last != NO_END; e++)
        for (int i = search->mains_of_side[e] - 1; i >= 0 && e != state->last; i--) {
            int main = search->mains_from_centre[e][i];
            if (!set_has(&state->pulled, main) && !search->problem->written[main]) return 1;
        }
    return 0;
}

/* Whether nothing whole comes of a state, or nothing better than the worst of the ways wanted. */
static bool is_hopeless(struct search *search, const struct state *state) {
    const struct outcome *outcome = search->outcome;
    struct least to_come = {{0}};
    if (search->measure) {
        to_come = measure(search, state);
        if (to_come.by[AIM_CHANGES] == NO_WAY) return true;
    } else if (is_dead_end(search, state)) {
        return true;
    }
    if (outcome->count < search->most) return false;
    int64_t least[AIMS];
    memcpy(least, state->cost, sizeof least);
    if (search->measure) {
        for (int aim = 0; aim < AIMS; aim++)
            if (aim != AIM_LONGEST_LOOP) least[aim] += to_come.by[aim];
        if (least[AIM_LONGEST_LOOP] < to_come.by[AIM_LONGEST_LOOP])
            least[AIM_LONGEST_LOOP] = to_come.by[AIM_LONGEST_LOOP];
        return compare_costs(search, least, outcome->ways[outcome->count - 1].cost) >= 0;
    }
    if (state->crosses_pulled > 0) least[AIM_LATE_MAINS] += state->plain_mains_left;
    least[AIM_LOOP_LENGTH] += state->least_to_come;
    least[AIM_CHANGES] += others_have_work(search, state);
    return compare_costs(search, least, outcome->ways[outcome->count - 1].cost) >= 0;
}

/* ---- whole ways ---- */

/* In what kind of way it is strung: see search.h. Of an end's mains those count that come after a
 * cross of its own. */
static uint64_t kind_of(const struct search *search, const struct state *state) {
    int late[MOST_ENDS] = {0}, crosses[MOST_ENDS] = {0};
    for (int i = 0; i < state->tokens; i++) {
        const struct token *token = &search->tokens[i];
        if (token->kind != TOKEN_STRAND) continue;
        bool main = strand_at(search, token->strand)->kind == MAIN;
        late[token->end] += main && crosses[token->end] > 0;
        crosses[token->end] += !main;
    }
    uint64_t kind = (uint64_t)search->mains_from | (uint64_t)search->crosses_from << 2 |
                    (uint64_t)state->cost[AIM_LATE_MAINS] << 56;
    for (int e = 0; e < MOST_ENDS; e++)
        kind |= (uint64_t)late[e] << (8 + 16 * e) | (uint64_t)(crosses[e] > 0) << (5 + e);
    return kind;
}

void copy_way(struct route_way *to, const struct route_way *way) {
    struct token *room = to->tokens;
    memcpy(room, way->tokens, sizeof *room * (size_t)way->count);
    *to = *way;
    to->tokens = room;
}

static void keep_way(struct search *search, const struct state *state) {
    struct outcome *outcome = search->outcome;
    uint64_t kind = kind_of(search, state);
    int at = 0;
    while (at < outcome->count && outcome->ways[at].kind != kind)
        at++;
    if (at < outcome->count && compare_costs(search, state->cost, outcome->ways[at].cost) >= 0)
        return;
    struct route_way way = {
        .tokens = search->tokens,
        .count = state->tokens,
        .mains_from =
            state->ends[0].begins == state->ends[1].begins ? search->mains_from : PLACE_UNSAID,
        .crosses_from = search->problem->crosses_free ? search->crosses_from : PLACE_UNSAID,
        .kind = kind};
    memcpy(way.cost, state->cost, sizeof way.cost);
    if (search->problem->ends == 2) way.long_side = search->sides[0];
    if (!way_has_clamps(search->problem, &way)) {
        search->clamps_ran_out = true;
        search->stopped |= !search->scarce;
        return;
    }
    if (at == outcome->count && outcome->count == search->most) at--;
    if (at == outcome->count) outcome->count++;
    struct token *tokens = outcome->ways[at].tokens; /* its room is used again */
    while (at > 0 && compare_costs(search, way.cost, outcome->ways[at - 1].cost) < 0) {
        outcome->ways[at] = outcome->ways[at - 1];
        at--;
    }
    outcome->ways[at].tokens = tokens;
    copy_way(&outcome->ways[at], &way);
    search->stopped |= search->problem->question.first_will_do;
}

enum { MANY_STRANDS = 60, MANY_FREE = 4 };

/* A search that ends by then does without measuring what is to come: most do. */
enum { WORTH_MEASURING = 5000, WORTH_MEASURING_FOR_ANY = 100 };

/* Searches for less than is asked; what is found is a way that is to be bettered. */
static struct outcome search_part(struct search *search, struct problem *problem) {
    struct outcome *outcome = search->outcome, part = search_routes(problem, 1);
    outcome->nodes += part.nodes;
    if (part.count > 0) copy_way(&outcome->ways[outcome->count++], &part.ways[0]);
    return part;
}

/* A search that has found nothing for long asks, once, whether there is any way. */
static bool there_is_none(struct search *search) {
    struct problem problem = *search->problem;
    if (search->asked_for_any) return false;
    search->asked_for_any = true;
    problem.question.first_will_do = true;
    problem.question.most_nodes -= search->outcome->nodes;
    struct outcome any = search_part(search, &problem);
    return any.proved && any.count == 0;
}

/* Strands to be skipped leave much open: the best way with each in its turn is found first. */
static void search_in_turn(struct search *search) {
    struct problem problem = *search->problem;
    if (search->free_skipped_count == 0 || problem.question.only != NULL) return;
    problem.skipped = arena_many(search->arena, bool, problem.strands + 1);
    problem.question.most_nodes /= 4;
    search_part(search, &problem);
}

long most_nodes(const struct search *search) { return search->problem->question.most_nodes; }

void look(struct search *search, const struct state *state) {
    struct outcome *outcome = search->outcome;
    if (search->stopped) return;
    if (search->measuring) {
        take_least(search, state);
        return;
    }
    if (outcome->nodes >= most_nodes(search)) {
        outcome->nodes = most_nodes(search);
        search->cut_short = search->stopped = true;
        return;
    }
    bool any = search->problem->question.first_will_do;
    /* Large ones, and those of which much may come at any time, take longer. */
    outcome->nodes +=
        1 + search->problem->strands / MANY_STRANDS + search->free_skipped_count / MANY_FREE;
    if (!search->measure && outcome->nodes > (any ? WORTH_MEASURING_FOR_ANY : WORTH_MEASURING)) {
        search->measure = true;
        if (outcome->count == 0 && !any && there_is_none(search)) search->stopped = true;
    }
    if (is_hopeless(search, state) || is_known(search, state)) return;
    if (is_whole(search, state)) {
        if (ends_as_asked(search, state)) keep_way(search, state);
        return;
    }
    expand_state(search, state);
}

/* ---- from every beginning ---- */

static void order_crosses(struct search *search) {
    const struct frame *frame = search->frame;
    int first = frame->main_count, count = frame->cross_count;
    for (int c = 0; c < CLASSES; c++) {
        search->crosses[c] = 0;
        if (search->order_of[c] == NULL)
            search->order_of[c] = arena_many(search->arena, int, count + 1);
    }
    for (int i = 0; i < count; i++) {
        int strand = search->crosses_from == PLACE_THROAT ? first + count - 1 - i : first + i;
        enum class class = class_of(search, strand);
        if (class != CLASSES) search->order_of[class][search->crosses[class]++] = strand;
    }
}

static int outermost_main(const struct frame *frame, enum side side) {
    int outermost = NO_STRAND;
    for (int number = 1; frame_strand(frame, MAIN, side, number) != NO_STRAND; number++)
        outermost = frame_strand(frame, MAIN, side, number);
    return outermost;
}

static void begin(struct search *search) {
    const struct problem *problem = search->problem;
    struct state state = {.last = NO_END,
                          .last_tied = NO_END,
                          .unheld_left = problem->unheld,
                          .finishing_left = problem->finishing,
                          .holds = no_clamps_yet(),
                          .around = {NO_HOLE, NO_HOLE}};
    for (int e = 0; e < MOST_ENDS; e++)
        state.ends[e] =
            (struct worker){.where = NO_HOLE, .first = NO_HOLE, .way = ++search->next_node};
    for (int s = 0; s < problem->strands; s++) {
        state.least_to_come += problem->least_way[s];
        state.plain_mains_left += is_plain_main(search, s);
    }
    order_crosses(search);
    search->root++;
    if (problem->finishes == NULL || problem->finishing > 0) look(search, &state);
}

static void search_sides(struct search *search, bool exchanged) {
    const struct problem *problem = search->problem;
    static const enum place places[] = {PLACE_HEAD, PLACE_THROAT};
    for (int e = 0; e < problem->ends; e++) {
        enum side side = problem->pattern->ends[e].side;
        search->sides[e] = exchanged ? other_side(side) : side;
    }
    for (int e = 0; e < problem->mains_ends; e++) {
        int count = 0, strand;
        while ((strand = frame_strand(search->frame, MAIN, search->sides[e], count + 1)) !=
               NO_STRAND)
            search->mains_from_centre[e][count++] = strand;
        search->mains_of_side[e] = count;
    }
    for (int mains = 0; mains < 2; mains++)
        for (int crosses = 0; crosses < 2; crosses++) {
            if (problem->mains_from != PLACE_UNSAID && problem->mains_from != places[mains])
                continue;
            if (problem->crosses_from != PLACE_UNSAID && problem->crosses_from != places[crosses])
                continue;
            if (!problem->crosses_free && crosses > 0) continue;
            search->mains_from = places[mains];
            search->crosses_from = places[crosses];
            begin(search);
        }
}

/* What is looked up again and again. */
static void list_for_search(struct search *search) {
    const struct problem *problem = search->problem;
    const struct frame *frame = search->frame;
    int holes = frame->hole_count;
    search->arcs = arena_many(search->arena, struct arc, holes * holes);
    search->entries = arena_many(search->arena, struct entries, holes * problem->strands);
    search->tie_offs = arena_many(search->arena, int, holes);
    search->free_skipped = arena_many(search->arena, int, problem->strands + 1);
    search->centre = frame_strand(frame, MAIN, SIDE_CENTRE, 0);
    for (int e = 0; e < problem->mains_ends; e++)
        search->mains_from_centre[e] = arena_many(search->arena, int, frame->main_count + 1);
    for (int h = 0; h < holes; h++)
        if (may_take_knot(problem, h)) search->tie_offs[search->tie_off_count++] = h;
    for (int s = frame->main_count; s < problem->strands; s++)
        if (problem->skipped[s] && !problem->written[s])
            search->free_skipped[search->free_skipped_count++] = s;
}

/* Whether left and right can be exchanged: then what is best on one side is as good on the other.
 */
bool sides_are_alike(const struct frame *frame) {
    int count = frame->hole_count;
    bool centred = frame->holes[0].side == SIDE_CENTRE;
    for (int h = 0; h < count; h++) {
        const struct hole *a = &frame->holes[h];
        const struct hole *b = &frame->holes[centred ? (count - h) % count : count - 1 - h];
        double gap = a->arc + b->arc - 2 * frame->outline.half_arc;
        bool same_place = (gap < 1e-6 && gap > -1e-6) || (h == 0 && centred);
        if (!same_place || a->tie_off != b->tie_off || a->guide != b->guide ||
            a->strand_count != b->strand_count)
            return false;
        for (int i = 0; i < a->strand_count; i++) {
            const struct strand *one = &frame->strands[a->strands[i]];
            const struct strand *other = &frame->strands[b->strands[i]];
            if (one->kind != other->kind || one->number != other->number) return false;
        }
    }
    return true;
}

/* What has been looked into is not known any more, nor are ways but the first `ways`. */
static void forget(struct search *search, int ways) {
    search->nodes = search->states = search->measured = (struct table){0};
    search->leasts.at = NULL;
    search->leasts.count = search->leasts.room = 0;
    search->outcome->count = ways;
    search->root = 0;
    search->measure = search->stopped = false;
}

/* The best ways, those that are known among them. Clamps are followed only where they have been
 * seen to run out: they hardly ever do. */
static void search_all(struct search *search, int most) {
    const struct problem *problem = search->problem;
    bool any_order = problem->stretches.count == 0 && problem->question.only == NULL &&
                     (!problem->around || problem->question.first_will_do);
    int known = search->outcome->count;
    search->most = most;
    for (bool again = true; again;) {
        forget(search, known);
        search->runs_unbroken = most == 1 && any_order && !search->scarce;
        search_sides(search, false);
        if (problem->side_free && !sides_are_alike(problem->frame)) search_sides(search, true);
        again = search->clamps_ran_out && !search->scarce && problem->question.only == NULL;
        search->scarce |= again;
    }
}

struct outcome search_routes(struct problem *problem, int most) {
    struct arena *arena = problem->arena;
    int tokens = most_tokens(problem->frame) + (int)problem->stretches.count;
    struct outcome outcome = {0};
    outcome.ways = arena_many(arena, struct route_way, most + 1);
    for (int i = 0; i <= most; i++)
        outcome.ways[i].tokens = arena_many(arena, struct token, tokens);
    struct arena_mark mark = arena_mark(arena); /* what is found stands before it */
    struct search *search = arena_one(arena, struct search);
    search->tokens = arena_many(arena, struct token, tokens);
    search->problem = problem;
    search->frame = problem->frame;
    search->arena = problem->arena;
    search->outcome = &outcome;
    list_for_search(search);
    search->outermost[0] = outermost_main(problem->frame, SIDE_LEFT);
    search->outermost[1] = outermost_main(problem->frame, SIDE_RIGHT);
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        search->clamps[kind] = clamps_allowed(&problem->scratch, (enum clamp_kind)kind);
    search_in_turn(search);
    if (outcome.count == 0 || !problem->question.first_will_do) search_all(search, 1);
    outcome.proved = !search->cut_short;
    if (most > 1 && outcome.count > 0 && outcome.proved) search_all(search, most);
    outcome.complete = !search->cut_short;
    arena_rewind(arena, mark);
    return outcome;
}
