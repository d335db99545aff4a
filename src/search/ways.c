/* The search: depth first over everything that may be done next, cut off where the best ways known
 * cannot be bettered. A state is reached again and again by ways that differ only in when which end
 * worked; what each end has strung so far is kept as a node of a tree, so that such states are known
 * by three numbers and looked into once. */
#include "search/clamps.h"
#include "search/problem.h"

#include "ground/limits.h"

#include <stdlib.h>
#include <string.h>

enum { SET_WORDS = 4, MOST_LOOPS = 64 * SET_WORDS, MOST_TOKENS = MOST_LOOPS + 16 };

/* A set of loops or strands, by number. */
struct set {
    uint64_t word[SET_WORDS];
};

static bool set_has(const struct set *set, int member) {
    return set->word[member / 64] >> member % 64 & 1;
}

static void set_add(struct set *set, int member) {
    set->word[member / 64] |= (uint64_t)1 << member % 64;
}

/* How far an end is with the crosses of a class. */
enum running { RUN_NONE, RUN_ON, RUN_OVER };
enum class { CLASS_PLAIN, CLASS_HELD, CLASSES };

struct worker {
    int where;    /* hole; NO_HOLE before it is anywhere */
    uint32_t way; /* node of what it has strung */
    int strands;  /* threaded */
    int waiting;  /* threaded and not pulled */
    int mains;    /* pulled, M0 not counted */
    int first;    /* hole its first strand was entered by; NO_HOLE */
    enum running run[CLASSES];
    bool tied;
    bool as_written; /* what it did last is written */
};

struct state {
    struct worker ends[MOST_ENDS];
    struct set threaded, pulled, over;
    int64_t cost[AIMS];
    int64_t least_to_come; /* of loop length */
    int next[CLASSES];     /* of the crosses in order */
    int pulls, unheld_left, plain_mains_left, crosses_pulled, loops, tokens, stretch;
    int last, last_main, last_tied; /* ends; NO_END */
    bool changed;                   /* ends, among the pulls of mains */
    int around[2];                  /* by side: hole its outermost main was entered by; NO_HOLE */
    struct set knots;               /* holes */
    struct hold_states holds;       /* where clamps may be short */
};

/* ---- what has been looked into ---- */

struct seen {
    uint64_t key[2];
    uint32_t value;
};

struct table {
    struct seen *at;
    size_t room, count;
};

/* What a state still costs at the least, by aim; never to be whole: NO_WAY in all. */
struct least {
    int32_t by[AIMS];
};
static const int32_t NO_WAY = INT32_MAX;

/* Such bounds by all that matters to what can be done next, but for how loops lie to one another. */
struct measured {
    uint64_t key[3];
    struct least least;
    bool known;
};

struct measured_table {
    struct measured *at;
    size_t room, count;
};

struct search {
    struct problem *problem;
    const struct frame *frame;
    struct arena *arena;
    enum place mains_from, crosses_from;
    enum side sides[MOST_ENDS]; /* of the ends of mains */
    int *order_of[CLASSES]; /* crosses in order */
    int crosses[CLASSES];
    int outermost[2]; /* by side */
    int mains_of_side[2]; /* by end: how many, M0 not counted */
    struct arc *arcs; /* holes x holes; those of span 0 are not worked out yet */
    int *mains_from_centre[2]; /* by end: from the centre outwards, M0 not among them */
    int centre;                /* M0; NO_STRAND */
    int *tie_offs, tie_off_count;
    int *free_skipped, free_skipped_count; /* crosses to be skipped that are left to be found */
    struct arc loops[MOST_LOOPS];
    struct set crossing[MOST_LOOPS]; /* by loop: those before it that it interleaves with */
    enum lane guided[MOST_LOOPS];
    struct token tokens[MOST_TOKENS];
    struct table nodes, states;
    struct measured_table measured;
    bool measuring;              /* loops count, how they lie to one another does not */
    bool measure;                /* bounds are asked for */
    struct least *least;         /* of what is being measured: the least of its children */
    uint32_t next_node;
    int root; /* number of the beginning that is searched from */
    struct outcome *outcome;
    int clamps[CLAMP_KINDS];
    bool scarce; /* not a fixed clamp for each end, which is always enough */
    int most;
    bool stopped;
};

static size_t slot_of(const struct table *table, const uint64_t key[2]) {
    uint64_t hash = (key[0] ^ (key[1] * 0x9E3779B97F4A7C15u)) * 0xD6E8FEB86659FD93u;
    size_t slot = (size_t)(hash ^ hash >> 32) & (table->room - 1);
    while (table->at[slot].value != 0 &&
           (table->at[slot].key[0] != key[0] || table->at[slot].key[1] != key[1]))
        slot = (slot + 1) & (table->room - 1);
    return slot;
}

enum { FIRST_ROOM = 256 };

static size_t measured_slot(const struct measured_table *table, const uint64_t key[3]) {
    uint64_t hash = (key[0] ^ (key[1] * 0x9E3779B97F4A7C15u) ^ (key[2] * 0xC2B2AE3D27D4EB4Fu)) *
                    0xD6E8FEB86659FD93u;
    size_t slot = (size_t)(hash ^ hash >> 32) & (table->room - 1);
    while (table->at[slot].known && (table->at[slot].key[0] != key[0] ||
                                     table->at[slot].key[1] != key[1] ||
                                     table->at[slot].key[2] != key[2]))
        slot = (slot + 1) & (table->room - 1);
    return slot;
}

/* The place of a key, its value 0 where it is new; NULL where the table may grow no more. */
static struct seen *find_seen(struct search *search, struct table *table, uint64_t a, uint64_t b) {
    uint64_t key[2] = {a, b};
    if (table->count * 2 >= table->room) {
        struct table old = *table;
        if (old.room >= LIMIT_SEARCH_STATES) {
            size_t slot = slot_of(table, key);
            return table->at[slot].value != 0 ? &table->at[slot] : NULL;
        }
        table->room = old.room > 0 ? old.room * 2 : FIRST_ROOM;
        table->at = arena_many(search->arena, struct seen, table->room);
        for (size_t i = 0; i < old.room; i++)
            if (old.at[i].value != 0) table->at[slot_of(table, old.at[i].key)] = old.at[i];
    }
    struct seen *seen = &table->at[slot_of(table, key)];
    if (seen->value == 0) {
        seen->key[0] = a;
        seen->key[1] = b;
        table->count++;
    }
    return seen;
}

/* The node of a way that goes on so; 0 where there is no room for it: it is not known again. */
static uint32_t way_on(struct search *search, uint32_t way, int end, int strand, int hole) {
    if (way == 0 || search->measuring) return 0;
    uint64_t step = (uint64_t)(strand + 1) << 12 | (uint64_t)hole << 2 | (uint64_t)end;
    struct seen *node = find_seen(search, &search->nodes, way, step);
    if (node == NULL) return 0;
    if (node->value == 0) node->value = ++search->next_node;
    return node->value;
}

/* Whether a state that is the same in all that is to come was looked into at no more changes. */
static bool is_known(struct search *search, const struct state *state) {
    uint64_t ways[MOST_ENDS] = {0};
    for (int e = 0; e < search->problem->ends; e++) {
        ways[e] = state->ends[e].way;
        if (ways[e] == 0) return false;
    }
    uint64_t rest = (uint64_t)(state->last + 1) | (uint64_t)(state->last_main + 1) << 2 |
                    (uint64_t)state->changed << 4 |
                    (uint64_t)(state->around[0] != NO_HOLE) << 5 |
                    (uint64_t)(state->around[1] != NO_HOLE) << 6 |
                    (uint64_t)(state->last_tied + 1) << 7 | (uint64_t)state->stretch << 9 |
                    (uint64_t)state->cost[AIM_LATE_MAINS] << 24;
    struct seen *seen =
        find_seen(search, &search->states, ways[0] | ways[1] << 32, ways[2] | rest << 32);
    if (seen == NULL) return false;
    uint32_t changes = (uint32_t)state->cost[AIM_CHANGES] + 1;
    if (seen->value != 0 && seen->value <= changes) return true;
    seen->value = changes;
    return false;
}

/* ---- what is best ---- */

static int compare_costs(const struct search *search, const int64_t *a, const int64_t *b) {
    for (int i = 0; i < AIMS; i++) {
        enum aim aim = search->problem->order[i];
        if (a[aim] != b[aim]) return a[aim] < b[aim] ? -1 : 1;
    }
    return 0;
}

static const struct strand *strand_at(const struct search *search, int strand) {
    return &search->frame->strands[strand];
}

static bool is_outermost(const struct search *search, int strand) {
    return strand == search->outermost[0] || strand == search->outermost[1];
}

/* A main that nothing keeps for later. */
static bool is_plain_main(const struct search *search, int strand) {
    const struct problem *problem = search->problem;
    return strand_at(search, strand)->kind == MAIN && !problem->held[strand] &&
           !(problem->around && is_outermost(search, strand));
}

/* Whether an end that did not pull last has mains to pull: one more change at the least. */
static int others_have_work(const struct search *search, const struct state *state) {
    for (int e = 0; e < search->problem->mains_ends; e++)
        if (state->last != NO_END && e != state->last &&
            state->ends[e].mains < search->mains_of_side[e])
            return 1;
    return 0;
}

static struct least measure(struct search *search, const struct state *state);

/* Whether nothing that comes of a state can be better than the worst of the ways wanted. */
static bool is_hopeless(struct search *search, const struct state *state) {
    const struct outcome *outcome = search->outcome;
    struct least to_come = {{0}};
    if (search->measure) {
        to_come = measure(search, state);
        if (to_come.by[AIM_CHANGES] == NO_WAY) return true;
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

/* ---- loops ---- */

static bool arcs_cross(const struct arc *a, const struct arc *b) {
    return holes_alternate(a->from, a->to, b->from, b->to);
}

static enum lane guided_lane(const struct search *search, const struct arc *arc, bool *fits) {
    enum lane lane = LANE_UNSAID;
    for (int i = 0; i <= arc->span; i++) {
        enum lane guide = search->frame->holes[(arc->start + i) % search->frame->hole_count].guide;
        if (guide == LANE_UNSAID) continue;
        *fits &= lane == LANE_UNSAID || lane == guide;
        lane = guide;
    }
    return lane;
}

static enum lane other_lane(enum lane lane) { return lane == LANE_FRONT ? LANE_BACK : LANE_FRONT; }

/* Gives the loops that hang together with one their lanes; false where two need the same. */
static bool colour_from(const struct search *search, int loops, int start, enum lane *lanes) {
    int queue[MOST_LOOPS], count = 0;
    queue[count++] = start;
    for (int head = 0; head < count; head++) {
        int loop = queue[head];
        for (int other = 0; other < loops; other++) {
            bool joined = other < loop ? set_has(&search->crossing[loop], other)
                                       : other > loop && set_has(&search->crossing[other], loop);
            if (!joined) continue;
            if (lanes[other] == LANE_UNSAID) {
                lanes[other] = other_lane(lanes[loop]);
                queue[count++] = other;
            }
            if (lanes[other] == lanes[loop]) return false;
            if (search->guided[other] != LANE_UNSAID && search->guided[other] != lanes[other])
                return false;
        }
    }
    return true;
}

/* Whether the loops lie clear in their lanes, the last of them being new. */
static bool lanes_fit(const struct search *search, int loops) {
    enum lane lanes[MOST_LOOPS] = {LANE_UNSAID};
    if (search->problem->guided)
        for (int i = 0; i < loops; i++) {
            if (lanes[i] != LANE_UNSAID || search->guided[i] == LANE_UNSAID) continue;
            lanes[i] = search->guided[i];
            if (!colour_from(search, loops, i, lanes)) return false;
        }
    if (lanes[loops - 1] != LANE_UNSAID) return true;
    lanes[loops - 1] = LANE_FRONT;
    return colour_from(search, loops, loops - 1, lanes);
}

static void add_length(struct state *state, const struct arc *arc) {
    state->cost[AIM_LOOP_LENGTH] += arc->length;
    if (arc->length > state->cost[AIM_LONGEST_LOOP]) state->cost[AIM_LONGEST_LOOP] = arc->length;
}

/* A loop's arc, worked out once. */
static const struct arc *arc_of(struct search *search, int from, int to) {
    struct arc *arc = &search->arcs[from * search->frame->hole_count + to];
    if (arc->span == 0) *arc = loop_arc(search->frame, from, to);
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
    bool fits = true, crosses = false, over = false;
    search->guided[loop] = problem->guided ? guided_lane(search, arc, &fits) : LANE_UNSAID;
    search->crossing[loop] = (struct set){{0}};
    for (int i = 0; i < loop; i++) {
        const struct arc *other = &search->loops[i];
        if (arcs_cross(arc, other)) {
            set_add(&search->crossing[loop], i);
            crosses = true;
        }
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
    if (!fits || (frame->lanes == 1 && crosses)) return false;
    return (!crosses && !problem->guided) || lanes_fit(search, state->loops);
}

/* ---- threading ---- */

/* The holes an end may enter a strand by. */
struct entries {
    int hole[2], count;
    bool draw; /* the nearest is not nearer by enough: it has to be said */
};

static const double LEAST_CHOICE = 1; /* mm, as routes have it */

static struct entries entries_to(const struct search *search, int e, int where, int strand) {
    const int *holes = search->frame->strands[strand].holes;
    if (where == NO_HOLE && e < search->problem->mains_ends)
        return (struct entries){{holes[search->mains_from == PLACE_HEAD ? 0 : 1]}, 1, false};
    if (where == holes[0] || where == holes[1])
        return (struct entries){{where == holes[0] ? holes[1] : holes[0]}, 1, false};
    double first = hoop_distance(search->frame, where, holes[0]);
    double second = hoop_distance(search->frame, where, holes[1]);
    int nearer = first <= second ? 0 : 1;
    bool draw = first - second < LEAST_CHOICE && second - first < LEAST_CHOICE;
    return (struct entries){{holes[nearer], holes[1 - nearer]}, draw ? 2 : 1, draw};
}

static int leave_of(const struct search *search, int strand, int enter) {
    const int *holes = search->frame->strands[strand].holes;
    return holes[0] == enter ? holes[1] : holes[0];
}

/* The fold lies once both its ends have their first strand. */
static bool add_fold(struct search *search, struct state *state, int e) {
    if (e >= search->problem->mains_ends) return true;
    int other = state->ends[1 - e].first;
    bool written = state->ends[0].as_written && state->ends[1].as_written;
    return other == NO_HOLE || add_loop(search, state, other, state->ends[e].first, written);
}

static bool thread(struct search *search, struct state *state, int e, int strand, int enter,
                   bool found) {
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
    return add_fold(search, state, e);
}

/* ---- pulling ---- */

/* Whether ways without late mains are known, and nothing else can be better. */
static bool no_late_mains(const struct search *search) {
    const struct outcome *outcome = search->outcome;
    return search->problem->order[0] == AIM_LATE_MAINS && outcome->count == search->most &&
           outcome->ways[outcome->count - 1].cost[AIM_LATE_MAINS] == 0;
}

static bool is_sided_main(const struct strand *strand) {
    return strand->kind == MAIN && strand->side != SIDE_CENTRE;
}

/* Which class a cross that keeps an order is of; CLASSES: it keeps none. */
static enum class class_of(const struct search *search, int strand) {
    const struct problem *problem = search->problem;
    if (strand_at(search, strand)->kind != CROSS || problem->skipped[strand]) return CLASSES;
    return problem->held[strand] ? CLASS_HELD : CLASS_PLAIN;
}

/* What one end may lead the other by; `found` where the pull is. */
static bool pull_main(struct search *search, struct state *state, int e, bool found) {
    const struct problem *problem = search->problem;
    if (state->last_main != NO_END && state->last_main != e) state->changed = true;
    bool begins = state->last_main == NO_END;
    state->last_main = e;
    state->ends[e].mains++;
    int lead = state->ends[e].mains - state->ends[1 - e].mains;
    if (begins && e != problem->begins) return false;
    return (!found && !problem->ahead_said) ||
           lead <= (state->changed ? problem->ahead_then : problem->ahead_first);
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

/* An end goes on with one class of crosses: its runs of others are over, and so are the runs of
 * others of this one. */
static void go_on_with(struct state *state, int e, enum class class) {
    for (int other = 0; other < MOST_ENDS; other++)
        for (int c = 0; c < CLASSES; c++) {
            enum running *run = &state->ends[other].run[c];
            if ((other == e) != (c == (int)class) && *run == RUN_ON) *run = RUN_OVER;
        }
    if (class != CLASSES) state->ends[e].run[class] = RUN_ON;
}

/* False where the pull breaks a rule. `enter` is the hole its strand was entered by. */
static bool pull(struct search *search, struct state *state, int e, int strand, int enter,
                 bool found) {
    const struct problem *problem = search->problem;
    struct worker *end = &state->ends[e];
    enum class class = class_of(search, strand);
    const struct strand *of = strand_at(search, strand);
    set_add(&state->pulled, strand);
    state->pulls++;
    end->waiting--;
    if (problem->by[strand] != NO_END && problem->by[strand] != e) return false;
    if (problem->held[strand] ? state->unheld_left > 0 : state->unheld_left-- <= 0) return false;
    if (found && class != CLASSES && end->run[class] == RUN_OVER) return false;
    go_on_with(state, e, class);
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
    if (is_sided_main(of) && !pull_main(search, state, e, found)) return false;
    if (search->scarce && !search->measuring &&
        !holds_after_pull(&state->holds, search->clamps, e, other_end(problem->pattern, e),
                          problem->scratch.ends[e].start_clamped))
        return false;
    if (state->last != NO_END && state->last != e) state->cost[AIM_CHANGES]++;
    state->last = e;
    return true;
}

/* ---- knots ---- */

/* Whether a knot may be tied there, where the string comes out of `leave`. */
static bool takes_knot(const struct search *search, const struct state *state, int hole, int leave) {
    if (hole == leave || !search->frame->holes[hole].tie_off || set_has(&state->knots, hole))
        return false;
    int main = hole_main(search->frame, hole);
    return main != NO_STRAND && set_has(&state->pulled, main);
}

/* Whether the main that a written knot sits on stands by now; that it carries one, and has room, is
 * judged elsewhere. */
static bool main_stands(const struct search *search, const struct state *state, int hole) {
    int main = hole_main(search->frame, hole);
    return main == NO_STRAND || set_has(&state->pulled, main);
}

static bool tie(struct search *search, struct state *state, int e, int hole, bool found) {
    struct worker *end = &state->ends[e];
    if (end->where == NO_HOLE || end->where == hole || end->waiting > 0 ||
        set_has(&state->knots, hole))
        return false;
    set_add(&state->knots, hole);
    end->way = way_on(search, end->way, e, NO_STRAND, hole);
    end->tied = true;
    state->last_tied = e;
    if (search->scarce && !search->measuring && !holds_after_tie(&state->holds, search->clamps, e)) return false;
    return add_loop(search, state, end->where, hole, !found && end->as_written);
}

static bool start(struct search *search, struct state *state, int e, int hole, bool found) {
    struct worker *end = &state->ends[e];
    if (end->strands > 0 || end->where != NO_HOLE || set_has(&state->knots, hole)) return false;
    set_add(&state->knots, hole);
    end->way = way_on(search, end->way, e, NO_STRAND, hole);
    end->where = hole;
    end->as_written = !found;
    bool by_clamp = !found && search->problem->scratch.ends[e].start_clamped;
    return !search->scarce || search->measuring || by_clamp || holds_after_start(&state->holds);
}

/* ---- what is done next ---- */

static void look(struct search *search, const struct state *state);

static struct token *add_token(struct search *search, struct state *state) {
    struct token *token = &search->tokens[state->tokens++];
    *token = (struct token){.from = NO_HOLE, .strand = NO_STRAND};
    return token;
}

static void string_strand(struct search *search, const struct state *state, int e, int strand) {
    struct entries entries = entries_to(search, e, state->ends[e].where, strand);
    for (int i = 0; i < entries.count; i++) {
        struct state next = *state;
        int enter = entries.hole[i];
        *add_token(search, &next) = (struct token){.kind = TOKEN_STRAND,
                                                   .end = e,
                                                   .strand = strand,
                                                   .from = state->ends[e].where,
                                                   .enter = enter,
                                                   .from_said = entries.draw};
        if (thread(search, &next, e, strand, enter, true) &&
            pull(search, &next, e, strand, enter, true))
            look(search, &next);
    }
}

/* The start of a cross string, and at once what begins with its first strand. */
static void start_string(struct search *search, const struct state *state, int e, int strand,
                         void (*then)(struct search *, const struct state *, int, int)) {
    const int *holes = strand_at(search, strand)->holes;
    for (int side = 0; side < 2; side++)
        for (int hole = 0; hole < search->frame->hole_count; hole++) {
            enum side right_first = side == 0 ? SIDE_RIGHT : SIDE_LEFT;
            bool here = search->frame->holes[hole].side == right_first ||
                        (side == 1 && search->frame->holes[hole].side == SIDE_CENTRE);
            if (!here || hole == holes[0] || hole == holes[1]) continue;
            if (!takes_knot(search, state, hole, NO_HOLE)) continue;
            struct state next = *state;
            *add_token(search, &next) =
                (struct token){.kind = TOKEN_START, .end = e, .from = NO_HOLE, .enter = hole};
            if (start(search, &next, e, hole, true)) then(search, &next, e, strand);
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
        start_string(search, state, e, strand, string_strand);
    }
}

/* The centre main, where it is left to be found and the end can begin with it. */
static int centre_main(const struct search *search, const struct state *state, int e) {
    bool found = search->centre != NO_STRAND && !search->problem->written[search->centre] &&
                 !set_has(&state->threaded, search->centre) && state->ends[e].strands == 0;
    return found ? search->centre : NO_STRAND;
}

/* The next main of an end's own side from the centre outwards, where it is left to be found. */
static int next_main(const struct search *search, const struct state *state, int e) {
    for (int i = 0; i < search->mains_of_side[e]; i++) {
        int strand = search->mains_from_centre[e][i];
        if (!set_has(&state->threaded, strand))
            return search->problem->written[strand] ? NO_STRAND : strand;
    }
    return NO_STRAND;
}

static void string_crosses(struct search *search, const struct state *state, int e) {
    const struct problem *problem = search->problem;
    if (problem->ends == 3 && e < problem->mains_ends) return;
    for (int c = 0; c < CLASSES; c++) {
        if (state->next[c] == search->crosses[c]) continue;
        int strand = search->order_of[c][state->next[c]];
        if (!problem->written[strand]) string_cross(search, state, e, strand);
    }
    for (int i = 0; i < search->free_skipped_count; i++)
        if (!set_has(&state->threaded, search->free_skipped[i]))
            string_cross(search, state, e, search->free_skipped[i]);
}

static bool has_main_to_string(const struct search *search, const struct state *state, int e) {
    if (e >= search->problem->mains_ends) return false;
    for (int i = search->mains_of_side[e] - 1; i >= 0; i--)
        if (!set_has(&state->threaded, search->mains_from_centre[e][i])) return true;
    return false;
}

static void tie_end(struct search *search, const struct state *state, int e) {
    const struct problem *problem = search->problem;
    const struct worker *end = &state->ends[e];
    if (!problem->free_knots[e] || state->last != e || problem->acts_left[e][state->stretch] > 0 ||
        has_main_to_string(search, state, e))
        return;
    bool of_crosses = e >= problem->mains_ends;
    if (of_crosses && state->crosses_pulled < search->frame->cross_count) return;
    int holes[MOST_LOOPS], count = 0; /* the nearest first */
    for (int i = 0; i < search->tie_off_count; i++) {
        int hole = search->tie_offs[i], at = count;
        if (!takes_knot(search, state, hole, end->where)) continue;
        int64_t way = arc_of(search, end->where, hole)->length;
        while (at > 0 && arc_of(search, end->where, holes[at - 1])->length > way) {
            holes[at] = holes[at - 1];
            at--;
        }
        holes[at] = hole;
        count++;
    }
    for (int i = 0; i < count; i++) {
        struct state next = *state;
        *add_token(search, &next) =
            (struct token){.kind = TOKEN_TIE, .end = e, .from = end->where, .enter = holes[i]};
        if (tie(search, &next, e, holes[i], true)) look(search, &next);
    }
}

static void string_mains(struct search *search, const struct state *state, int e) {
    if (e >= search->problem->mains_ends) return;
    int mains[] = {centre_main(search, state, e), next_main(search, state, e)};
    for (int i = 0; i < 2; i++)
        if (mains[i] != NO_STRAND) string_strand(search, state, e, mains[i]);
}

static bool is_at_work(const struct state *state, int e) {
    return !state->ends[e].tied && state->ends[e].waiting == 0;
}

/* ---- what is written ---- */

static int written_hole(const struct search *search, const struct knot *knot, int where) {
    enum side side = knot->side;
    if (side == SIDE_UNSAID && where != NO_HOLE) side = search->frame->holes[where].side;
    if (side == SIDE_UNSAID) return NO_HOLE;
    return frame_hole(search->frame, side, knot->number, knot->place);
}

static int written_entry(const struct search *search, const struct state *state, int e,
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

static void do_stretch(struct search *search, const struct state *state, int e, int strand) {
    const struct problem *problem = search->problem;
    const struct stretch *stretch = &problem->stretches.at[state->stretch];
    struct state next = *state;
    (void)e;
    (void)strand;
    int entered[MOST_LOOPS];
    for (int s = 0; s < problem->strands; s++)
        entered[s] = NO_HOLE;
    struct token *token = add_token(search, &next);
    token->kind = TOKEN_WRITTEN;
    token->stretch = next.stretch++;
    bool fits = true;
    for (size_t i = 0; fits && i < stretch->acts; i++)
        fits = do_act(search, &next, &problem->scratch.acts.at[stretch->first_act + i], entered);
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
        start_string(search, state, first->end, strand, do_stretch);
    else
        do_stretch(search, state, NO_END, NO_STRAND);
}

/* Whether what is written next is a start or a knot alone: mains go before it. */
static bool is_only_knot(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (state->stretch == (int)problem->stretches.count) return false;
    const struct stretch *stretch = &problem->stretches.at[state->stretch];
    enum act_kind first = problem->scratch.acts.at[stretch->first_act].kind;
    return stretch->acts == 1 && (first == ACT_TIE || first == ACT_START);
}

/* Everything that may be done next, the likeliest first: what is found early cuts off the rest. */
static void go_on(struct search *search, const struct state *state, int first) {
    int ends = search->problem->ends;
    bool without_crosses = first == 1 || (ends == 3 && first == 0);
    if (!is_only_knot(search, state)) do_next_stretch(search, state);
    for (int i = 0; i < ends; i++) {
        int e = (first + i) % ends;
        if (is_at_work(state, e)) string_mains(search, state, e);
    }
    if (without_crosses && is_at_work(state, first)) tie_end(search, state, first);
    if (is_only_knot(search, state)) do_next_stretch(search, state);
    for (int i = 0; i < ends; i++) {
        int e = (first + i) % ends;
        if (is_at_work(state, e)) string_crosses(search, state, e);
    }
    if (!without_crosses && is_at_work(state, first)) tie_end(search, state, first);
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

static void keep_way(struct search *search, const struct state *state) {
    struct outcome *outcome = search->outcome;
    uint64_t kind = kind_of(search, state);
    int at = 0;
    while (at < outcome->count && outcome->ways[at].kind != kind)
        at++;
    if (at < outcome->count && compare_costs(search, state->cost, outcome->ways[at].cost) >= 0)
        return;
    struct route_way way = {.tokens = search->tokens,
                            .count = state->tokens,
                            .mains_from = search->mains_from,
                            .crosses_from = search->crosses_from,
                            .kind = kind};
    memcpy(way.cost, state->cost, sizeof way.cost);
    if (search->problem->ends == 2) way.long_side = search->sides[0];
    if (!way_has_clamps(search->problem, &way)) return;
    if (at == outcome->count && outcome->count == search->most) at--;
    if (at == outcome->count) outcome->count++;
    struct token *tokens = outcome->ways[at].tokens; /* its room is used again */
    while (at > 0 && compare_costs(search, way.cost, outcome->ways[at - 1].cost) < 0) {
        outcome->ways[at] = outcome->ways[at - 1];
        at--;
    }
    memcpy(tokens, search->tokens, sizeof *tokens * (size_t)state->tokens);
    way.tokens = tokens;
    outcome->ways[at] = way;
    search->stopped |= search->problem->question.first_will_do;
}

static bool is_whole(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (state->pulls < problem->strands || state->stretch < (int)problem->stretches.count) return false;
    for (int e = 0; e < problem->ends; e++)
        if (!state->ends[e].tied) return false;
    return true;
}

static bool ends_as_asked(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (problem->finish == PLACE_UNSAID) return true;
    for (int i = state->tokens; i-- > 0;) {
        const struct token *token = &search->tokens[i];
        int hole = NO_HOLE;
        if (token->kind == TOKEN_TIE) hole = token->enter;
        if (token->kind == TOKEN_WRITTEN) {
            const struct stretch *stretch = &problem->stretches.at[token->stretch];
            const struct act *last =
                &problem->scratch.acts.at[stretch->first_act + stretch->acts - 1];
            if (stretch->acts == 0 || last->kind != ACT_TIE) continue;
            return problem->scratch.ends[last->end].tie.place == problem->finish;
        }
        if (hole != NO_HOLE) return search->frame->holes[hole].place == problem->finish;
    }
    return false;
}

/* The long end strings no less than the short one: whether that can still be. */
static bool long_can_be_longer(const struct search *search, const struct state *state) {
    const struct problem *problem = search->problem;
    if (problem->ends != 2 || problem->stretches.count > 0) return true;
    int most_long = state->ends[0].tied ? state->ends[0].strands
                                        : problem->strands - state->ends[1].strands;
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

static void expand(struct search *search, const struct state *state) {
    if (strands_are_lost(search, state) || centre_is_lost(search, state) ||
        !long_can_be_longer(search, state))
        return;
    go_on(search, state, state->last != NO_END ? state->last : search->problem->begins);
}

static long most_nodes(const struct search *search) {
    long asked = search->problem->question.most_nodes;
    return asked > 0 ? asked : LIMIT_SEARCH_NODES;
}

/* ---- what is still to come, at the least ---- */

/* A search that ends by then does without: most do. */
enum { WORTH_MEASURING = 5000, WORTH_MEASURING_FOR_ANY = 1000 };

static uint64_t hole_bits(int hole) { return (uint64_t)(hole + 1); }

/* All that matters to what can be done next; false where it is more than fits. */
static bool key_of(const struct search *search, const struct state *state, uint64_t key[3]) {
    const struct frame *frame = search->frame;
    key[0] = key[1] = key[2] = 0;
    for (int e = 0; e < MOST_ENDS; e++) {
        const struct worker *end = &state->ends[e];
        key[0] = key[0] << 9 | hole_bits(end->where);
        key[1] = key[1] << 3 | (uint64_t)end->tied << 2 | (uint64_t)(end->waiting > 0) << 1 |
                 (uint64_t)end->as_written;
        for (int c = 0; c < CLASSES; c++)
            key[1] = key[1] << 2 | (uint64_t)end->run[c];
    }
    for (int c = 0; c < CLASSES; c++)
        key[0] = key[0] << 7 | (uint64_t)state->next[c];
    for (int e = 0; e < 2; e++) {
        key[0] = key[0] << 7 | (uint64_t)state->ends[e].mains;
        int entered = state->around[e];
        key[1] = key[1] << 2 | (entered == NO_HOLE ? 0 : (uint64_t)frame->holes[entered].place);
    }
    key[0] = key[0] << 2 | (uint64_t)(state->last + 1);
    key[0] = key[0] << 2 | (uint64_t)(state->last_main + 1);
    key[0] = key[0] << 1 | (uint64_t)state->changed;
    key[1] = key[1] << 8 | (uint64_t)state->ends[1].strands;
    key[1] = key[1] << 12 | (uint64_t)state->stretch;
    key[1] = key[1] << 3 | (uint64_t)search->root;
    bool centre = search->centre != NO_STRAND && set_has(&state->threaded, search->centre);
    key[1] = key[1] << 1 | (uint64_t)centre;
    for (int i = 0; i < search->tie_off_count && i < 64; i++)
        key[2] = key[2] << 1 | (uint64_t)set_has(&state->knots, search->tie_offs[i]);
    for (int i = 0; i < search->free_skipped_count && i < 64; i++)
        key[2] = key[2] << 1 | (uint64_t)set_has(&state->threaded, search->free_skipped[i]);
    return search->tie_off_count + search->free_skipped_count <= 64 && state->stretch < 1 << 12;
}

static struct measured *find_measured(struct search *search, const uint64_t key[3]) {
    struct measured_table *table = &search->measured;
    if (table->count * 2 >= table->room) {
        struct measured_table old = *table;
        if (old.room >= LIMIT_SEARCH_STATES) {
            struct measured *known = &table->at[measured_slot(table, key)];
            return known->known ? known : NULL;
        }
        table->room = old.room > 0 ? old.room * 2 : FIRST_ROOM;
        table->at = arena_many(search->arena, struct measured, table->room);
        for (size_t i = 0; i < old.room; i++)
            if (old.at[i].known) table->at[measured_slot(table, old.at[i].key)] = old.at[i];
    }
    return &table->at[measured_slot(table, key)];
}

/* By a walk through all that can come of it, how loops lie to one another left aside. */
static struct least measure(struct search *search, const struct state *state) {
    static const struct least nothing = {{0}};
    if (is_whole(search, state)) return nothing;
    uint64_t key[3];
    if (!key_of(search, state, key)) return nothing;
    struct measured *known = find_measured(search, key);
    if (known == NULL) return nothing;
    if (known->known) return known->least;
    if (++search->outcome->nodes > most_nodes(search)) return nothing;
    struct state from = *state;
    struct least least, *outer = search->least;
    bool measuring = search->measuring;
    for (int aim = 0; aim < AIMS; aim++) {
        least.by[aim] = NO_WAY;
        from.cost[aim] = 0;
    }
    search->least = &least;
    search->measuring = true;
    expand(search, &from);
    search->least = outer;
    search->measuring = measuring;
    known = find_measured(search, key);
    if (known == NULL) return least;
    if (!known->known) search->measured.count++;
    memcpy(known->key, key, sizeof known->key);
    known->known = true;
    known->least = least;
    return least;
}

/* Takes what has come of a step, whose cost counts from the state before it, into account there. Of
 * the aims that lead and simply add up only the best of all counts, and of the others what goes with
 * it: what is worse in those is worse. */
static void take_least(struct search *search, const struct state *state) {
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

static void look(struct search *search, const struct state *state) {
    struct outcome *outcome = search->outcome;
    if (search->stopped) return;
    if (search->measuring) {
        take_least(search, state);
        return;
    }
    if (++outcome->nodes > most_nodes(search)) {
        outcome->proved = false;
        search->stopped = true;
        return;
    }
    bool any = search->problem->question.first_will_do;
    search->measure |= outcome->nodes > (any ? WORTH_MEASURING_FOR_ANY : WORTH_MEASURING);
    if (is_hopeless(search, state) || is_known(search, state)) return;
    if (is_whole(search, state)) {
        if (ends_as_asked(search, state)) keep_way(search, state);
        return;
    }
    expand(search, state);
}

/* ---- from every beginning ---- */

static void order_crosses(struct search *search) {
    const struct frame *frame = search->frame;
    int first = frame->main_count, count = frame->cross_count;
    for (int c = 0; c < CLASSES; c++) {
        search->crosses[c] = 0;
        if (search->order_of[c] == NULL) search->order_of[c] = arena_many(search->arena, int, count + 1);
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
                          .last_main = NO_END,
                          .last_tied = NO_END,
                          .unheld_left = problem->unheld,
                          .holds = no_clamps_yet(),
                          .around = {NO_HOLE, NO_HOLE}};
    for (int e = 0; e < MOST_ENDS; e++)
        state.ends[e] = (struct worker){
            .where = NO_HOLE, .first = NO_HOLE, .way = ++search->next_node};
    for (int s = 0; s < problem->strands; s++) {
        state.least_to_come += problem->least_way[s];
        state.plain_mains_left += is_plain_main(search, s);
    }
    order_crosses(search);
    search->root++;
    look(search, &state);
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
        while ((strand = frame_strand(search->frame, MAIN, search->sides[e], count + 1)) != NO_STRAND)
            search->mains_from_centre[e][count++] = strand;
        search->mains_of_side[e] = count;
    }
    for (int mains = 0; mains < 2; mains++)
        for (int crosses = 0; crosses < 2; crosses++) {
            if (problem->mains_from != PLACE_UNSAID && problem->mains_from != places[mains]) continue;
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
    search->tie_offs = arena_many(search->arena, int, holes);
    search->free_skipped = arena_many(search->arena, int, problem->strands + 1);
    search->centre = frame_strand(frame, MAIN, SIDE_CENTRE, 0);
    for (int e = 0; e < problem->mains_ends; e++)
        search->mains_from_centre[e] = arena_many(search->arena, int, frame->main_count + 1);
    for (int h = 0; h < holes; h++)
        if (frame->holes[h].tie_off) search->tie_offs[search->tie_off_count++] = h;
    for (int s = frame->main_count; s < problem->strands; s++)
        if (problem->skipped[s] && !problem->written[s])
            search->free_skipped[search->free_skipped_count++] = s;
}

/* Whether left and right can be exchanged: then what is best on one side is as good on the other. */
static bool sides_are_alike(const struct frame *frame) {
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

struct outcome search_routes(struct problem *problem, int most) {
    struct search *search = arena_one(problem->arena, struct search);
    struct outcome outcome = {.proved = true};
    outcome.ways = arena_many(problem->arena, struct route_way, most + 1);
    for (int i = 0; i <= most; i++)
        outcome.ways[i].tokens = arena_many(problem->arena, struct token, MOST_TOKENS);
    search->problem = problem;
    search->frame = problem->frame;
    search->arena = problem->arena;
    search->outcome = &outcome;
    search->most = most;
    list_for_search(search);
    search->outermost[0] = outermost_main(problem->frame, SIDE_LEFT);
    search->outermost[1] = outermost_main(problem->frame, SIDE_RIGHT);
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        search->clamps[kind] = clamps_allowed(&problem->scratch, (enum clamp_kind)kind);
    search->scarce = search->clamps[CLAMP_FIXED] < problem->ends;
    search_sides(search, false);
    if (problem->side_free && !sides_are_alike(problem->frame)) search_sides(search, true);
    return outcome;
}
