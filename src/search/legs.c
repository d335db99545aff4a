/* From a way to legs: what is written as it stands, what was found in legs of single ends, with a
 * word on each why it is so. */
#include "search/problem.h"

#include "bench/plan.h"
#include "ground/output.h"
#include "pattern/stages.h"

#include <stdlib.h>

/* One thing to be put into a leg: a token, or the thread or the pull of a strand alone. */
struct step {
    const struct token *token;
    enum verb verb; /* of TOKEN_STRAND */
};

/* How a way is put into legs. */
struct manner {
    bool weave_early, postpone_ties, thread_ahead;
};

/* The best manner first; the last does everything in the order in which it was found. */
static const struct manner MANNERS[] = {{true, true, true},
                                        {false, true, true},
                                        {true, false, true},
                                        {false, false, true},
                                        {false, false, false}};
enum { MANNER_COUNT = sizeof MANNERS / sizeof *MANNERS };

struct writing {
    const struct problem *problem;
    const struct frame *frame;
    const struct route_way *route;
    struct found_way *way;
    struct manner manner;
    struct span span; /* of what was found: the line that asks for it */
    array_of(struct step) steps;
    int written_leg; /* the written leg that the last leg goes on with; -1: none */
};

static const struct strand *strand_of(const struct writing *w, const struct token *token) {
    return &w->frame->strands[token->strand];
}

static bool is_strand_of(const struct token *token, int end) {
    return token->kind == TOKEN_STRAND && token->end == end;
}

/* ---- what waits is woven early ---- */

/* The token before which a held cross is woven, so that it need not be woven between crosses that
 * are pulled before it: the first cross of another end since its own end did anything. Only where
 * that end waits on a main: its clamp is then beside the hoop and in nobody's way. NULL where it is
 * strung at once. */
static const struct token *woven_before(const struct writing *w, int number) {
    const struct token *tokens = w->route->tokens, *token = &tokens[number];
    if (token->kind != TOKEN_STRAND || !w->problem->held[token->strand] ||
        strand_of(w, token)->kind != CROSS)
        return NULL;
    const struct token *first = NULL;
    for (int i = number - 1; i >= 0; i--) {
        const struct token *before = &tokens[i];
        if (before->kind == TOKEN_WRITTEN) break;
        if (before->end == token->end)
            return is_strand_of(before, token->end) && strand_of(w, before)->kind == MAIN ? first
                                                                                          : NULL;
        if (before->kind == TOKEN_STRAND && strand_of(w, before)->kind == CROSS) first = before;
    }
    return NULL;
}

static void add_step(struct writing *w, const struct token *token, enum verb verb) {
    *array_add(w->problem->arena, &w->steps) = (struct step){token, verb};
}

/* Whether the tie of an end lets a step go first: mains that come before any cross are all pulled
 * before the first knot is tied, and then knots are tied in the order of the ends. */
static bool tied_after(const struct writing *w, const struct token *tie,
                       const struct token *token) {
    if (token->kind == TOKEN_TIE) return w->problem->mirrored != (token->end < tie->end);
    return token->kind == TOKEN_STRAND && strand_of(w, token)->kind == MAIN;
}

static void postpone_ties(struct writing *w) {
    for (size_t i = w->steps.count; i-- > 0;) {
        bool crosses = false;
        for (size_t k = 0; k < i; k++) {
            const struct token *before = w->steps.at[k].token;
            crosses |= before->kind == TOKEN_WRITTEN ||
                       (before->kind == TOKEN_STRAND && strand_of(w, before)->kind == CROSS);
        }
        if (crosses || w->steps.at[i].token->kind != TOKEN_TIE) continue;
        for (size_t k = i + 1; k < w->steps.count; k++) {
            struct step tie = w->steps.at[k - 1];
            if (!tied_after(w, tie.token, w->steps.at[k].token)) break;
            w->steps.at[k - 1] = w->steps.at[k];
            w->steps.at[k] = tie;
        }
    }
}

static void list_steps(struct writing *w) {
    const struct token *tokens = w->route->tokens;
    bool weave_early = w->manner.weave_early;
    for (int i = 0; i < w->route->count; i++) {
        for (int k = i + 1; weave_early && k < w->route->count; k++)
            if (woven_before(w, k) == &tokens[i]) add_step(w, &tokens[k], DO_THREAD);
        bool early = weave_early && woven_before(w, i) != NULL;
        add_step(w, &tokens[i], early ? DO_PULL : DO_BOTH);
    }
    if (w->manner.postpone_ties) postpone_ties(w);
}

/* ---- words ---- */

static const char *mm_words(const struct writing *w, int from, int to) {
    return format(w->problem->arena, "%s mm",
                  format_decimal(w->problem->arena, hoop_distance(w->frame, from, to), 0));
}

static const char *hole_words(const struct writing *w, int hole) {
    const struct hole *at = &w->frame->holes[hole];
    return format(w->problem->arena, "%d%c", at->number, at->place == PLACE_HEAD ? 'H' : 'T');
}

static const char *why_main(const struct writing *w, const struct token *token, bool late) {
    struct arena *arena = w->problem->arena;
    if (token->from == NO_HOLE)
        return format(arena, "begins at the %s", place_word(w->frame->holes[token->enter].place));
    if (!late) return "in turn with the other end";
    const char *way = format(arena, "%s from %s, %s on",
                             w->frame->holes[token->enter].place == PLACE_THROAT ? "up" : "down",
                             hole_words(w, token->enter), mm_words(w, token->from, token->enter));
    bool outermost = frame_strand(w->frame, MAIN, strand_of(w, token)->side,
                                  strand_of(w, token)->number + 1) == NO_STRAND;
    bool asked = w->problem->held[token->strand] || (w->problem->around && outermost);
    bool only_so = w->problem->order[0] == AIM_LATE_MAINS;
    return format(arena, "%s: %s",
                  asked     ? "kept for later"
                  : only_so ? "no way with it earlier"
                            : "late, for the aims",
                  way);
}

static const char *why_cross(const struct writing *w, const struct step *step) {
    const struct token *token = step->token;
    struct arena *arena = w->problem->arena;
    if (step->verb == DO_PULL) return "its turn comes last";
    const char *way = format(arena, "%s to %s, %s", hole_words(w, token->from),
                             hole_words(w, token->enter), mm_words(w, token->from, token->enter));
    if (step->verb == DO_THREAD) return format(arena, "%s; woven while there is room", way);
    if (w->problem->held[token->strand]) return format(arena, "kept for later; %s", way);
    if (w->problem->skipped[token->strand]) return format(arena, "free of the order; %s", way);
    return format(arena, "from the %s; %s", place_word(w->route->crosses_from), way);
}

/* The holes with room that are nearer than the one taken, as far as no other knot is in them. */
static int nearer_knots(const struct writing *w, const struct token *token) {
    int nearer = 0;
    for (int h = 0; h < w->frame->hole_count; h++) {
        bool taken = h == token->from;
        for (int i = 0; i < w->route->count; i++) {
            const struct token *other = &w->route->tokens[i];
            taken |= (other->kind == TOKEN_TIE || other->kind == TOKEN_START) && other->enter == h;
        }
        nearer += w->frame->holes[h].tie_off && !taken &&
                  hoop_distance(w->frame, token->from, h) + 1 <
                      hoop_distance(w->frame, token->from, token->enter);
    }
    return nearer;
}

static const char *why_knot(const struct writing *w, const struct token *token) {
    struct arena *arena = w->problem->arena;
    if (token->kind == TOKEN_START) return "its tail beside where the crosses begin";
    bool nearest = w->problem->stretches.count == 0 && nearer_knots(w, token) == 0;
    return format(arena,
                  nearest ? "knot in the nearest hole that no other takes, %s on" : "knot %s on",
                  mm_words(w, token->from, token->enter));
}

static void add_why(struct writing *w, const char *words) {
    const char **why = &w->way->why.at[w->way->why.count - 1];
    *why = *why == NULL ? words : format(w->problem->arena, "%s; %s", *why, words);
}

/* ---- legs ---- */

static struct leg *new_leg(struct writing *w, struct leg leg) {
    struct leg *added = array_add(w->problem->arena, &w->way->legs);
    *added = leg;
    *array_add(w->problem->arena, &w->way->why) = NULL;
    w->written_leg = -1;
    return added;
}

static struct leg *found_leg(struct writing *w, int end) {
    return new_leg(w, (struct leg){.end = w->problem->pattern->ends[end].name, .span = w->span});
}

static struct leg *last_leg(struct writing *w) { return &w->way->legs.at[w->way->legs.count - 1]; }

/* A leg of the pattern, or so much of it as comes at once. */
static void put_stretch(struct writing *w, int number) {
    const struct stretch *stretch = &w->problem->stretches.at[number];
    const struct leg *from = &w->problem->scratch.legs.at[stretch->leg];
    if (stretch->items == 0) {
        new_leg(w, *from);
        return;
    }
    if (w->written_leg != stretch->leg) {
        struct leg leg = *from;
        leg.items.at = NULL;
        leg.items.count = leg.items.room = 0;
        new_leg(w, leg);
        w->written_leg = stretch->leg;
    }
    for (size_t i = 0; i < stretch->items; i++)
        *array_add(w->problem->arena, &last_leg(w)->items) =
            from->items.at[stretch->first_item + i];
}

/* Whether a strand goes on with the run that ends with the one before. */
static bool runs_on(const struct writing *w, const struct token *before, const struct token *token,
                    int step) {
    const struct strand *a = strand_of(w, before), *b = strand_of(w, token);
    int way = b->number - a->number;
    return a->kind == b->kind && a->side == b->side && (way == 1 || way == -1) &&
           (step == 0 || way == step) && !token->from_said;
}

/* How many of the steps from `first` on make one run. */
static size_t run_length(const struct writing *w, size_t first, size_t end) {
    size_t length = 1;
    int step = 0;
    while (first + length < end) {
        const struct token *before = w->steps.at[first + length - 1].token;
        const struct token *token = w->steps.at[first + length].token;
        if (!runs_on(w, before, token, step)) break;
        step = strand_of(w, token)->number - strand_of(w, before)->number;
        length++;
    }
    return length;
}

static void put_run(struct writing *w, struct leg *leg, size_t first, size_t count) {
    const struct step *steps = &w->steps.at[first];
    struct leg_item *item = array_add(w->problem->arena, &leg->items);
    *item = (struct leg_item){.kind = LEG_RUN, .span = w->span};
    item->run = (struct run){.verb = steps->verb, .first = START_UNSTATED};
    item->run.strands = arena_many(w->problem->arena, int, count);
    for (size_t i = 0; i < count; i++)
        item->run.strands[item->run.count++] = steps[i].token->strand;
    if (!steps->token->from_said || steps->verb == DO_PULL) return;
    const struct hole *hole = &w->frame->holes[steps->token->enter];
    item->run.from_span = w->span;
    if (strand_of(w, steps->token)->kind == MAIN)
        item->run.from_place = hole->place;
    else
        item->run.from_side = hole->side;
}

/* Strands in a row of one end and one kind, done in one way, make a leg; the step after them. */
static size_t put_strands(struct writing *w, size_t first, bool late) {
    const struct step *begins = &w->steps.at[first];
    enum kind kind = strand_of(w, begins->token)->kind;
    bool after_start = first > 0 && begins[-1].token->kind == TOKEN_START;
    struct leg *leg = after_start ? last_leg(w) : found_leg(w, begins->token->end);
    size_t end = first + 1;
    while (end < w->steps.count && is_strand_of(w->steps.at[end].token, begins->token->end) &&
           w->steps.at[end].verb == begins->verb &&
           strand_of(w, w->steps.at[end].token)->kind == kind)
        end++;
    for (size_t at = first, length; at < end; at += length) {
        length = run_length(w, at, end);
        put_run(w, leg, at, length);
    }
    bool ahead = w->manner.thread_ahead && kind == CROSS && begins->verb == DO_BOTH;
    if (ahead && end - first > 1) leg->thread_ahead = 1;
    add_why(w, kind == MAIN ? why_main(w, begins->token, late) : why_cross(w, begins));
    return end;
}

static void put_knot(struct writing *w, size_t number) {
    const struct token *token = w->steps.at[number].token;
    const struct step *before = number > 0 ? &w->steps.at[number - 1] : NULL;
    bool own = before != NULL && is_strand_of(before->token, token->end);
    struct leg *leg = own ? last_leg(w) : found_leg(w, token->end);
    const struct hole *at = &w->frame->holes[token->enter];
    bool said = at->side != SIDE_CENTRE &&
                (token->from == NO_HOLE || w->frame->holes[token->from].side != at->side);
    *array_add(w->problem->arena, &leg->items) =
        (struct leg_item){.kind = token->kind == TOKEN_TIE ? LEG_TIE : LEG_START,
                          .number = at->number,
                          .side = said ? at->side : SIDE_UNSAID,
                          .place = at->place,
                          .span = w->span};
    add_why(w, why_knot(w, token));
}

struct span place_of_found(const struct pattern *pattern) {
    struct span asked = pattern->intents.find_span;
    return span_given(asked) ? asked : pattern->span;
}

static struct found_way write_way(const struct problem *problem, const struct route_way *route,
                                  struct manner manner) {
    struct found_way way = {.mains_from = route->mains_from,
                            .crosses_from = route->crosses_from,
                            .long_side = route->long_side};
    for (int aim = 0; aim < AIMS; aim++)
        way.cost[aim] = route->cost[aim];
    const struct pattern *pattern = problem->pattern;
    struct writing w = {.problem = problem,
                        .frame = problem->frame,
                        .route = route,
                        .way = &way,
                        .manner = manner,
                        .span = place_of_found(pattern),
                        .written_leg = -1};
    list_steps(&w);
    bool crosses = false;
    for (size_t i = 0; i < w.steps.count;) {
        const struct token *token = w.steps.at[i].token;
        bool strand = token->kind == TOKEN_STRAND;
        size_t next = i + 1;
        if (strand)
            next = put_strands(&w, i, crosses);
        else if (token->kind == TOKEN_WRITTEN)
            put_stretch(&w, token->stretch);
        else
            put_knot(&w, i);
        crosses |= strand && strand_of(&w, token)->kind == CROSS;
        i = next;
    }
    return way;
}

/* ---- the pattern with them ---- */

struct pattern *pattern_with_way(const struct pattern *pattern, const struct found_way *way,
                                 struct arena *arena) {
    struct pattern *copy = arena_one(arena, struct pattern);
    *copy = *pattern;
    copy->legs.at = way->legs.at;
    copy->legs.count = copy->legs.room = way->legs.count;
    struct intents *intents = &copy->intents;
    if (intents->mains_from.place == PLACE_UNSAID) intents->mains_from.place = way->mains_from;
    if (way->long_side != SIDE_UNSAID && way->long_side != intents->long_side.side) {
        intents->long_side.side = way->long_side;
        copy->ends[0].side = way->long_side;
        copy->ends[1].side = other_side(way->long_side);
    }
    return copy;
}

static bool suffices(const struct problem *problem, const struct found_way *way) {
    struct pattern *copy = pattern_with_way(problem->pattern, way, problem->arena);
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        copy->intents.clamps_span[kind] = problem->scratch.intents.clamps_span[kind];
    copy->bench = problem->scratch.bench;
    if (problem->mains_from == PLACE_UNSAID) copy->intents.mains_from.place = way->mains_from;
    struct source_map no_sources = source_map_in(problem->arena);
    struct report silent = report_in(problem->arena, &no_sources);
    silent.muted = true;
    lay_acts(copy, problem->arena, &silent);
    if (!copy->laid) return false;
    find_routes(copy, problem->arena, &silent);
    return copy->routed && clamps_suffice(copy, problem->arena);
}

bool way_has_clamps(const struct problem *problem, const struct route_way *route) {
    struct arena_mark mark = arena_mark(problem->arena);
    bool enough = false;
    for (int i = 0; i < MANNER_COUNT && !enough; i++) {
        struct found_way way = write_way(problem, route, MANNERS[i]);
        enough = suffices(problem, &way);
    }
    arena_rewind(problem->arena, mark);
    return enough;
}

struct found_way way_as_legs(const struct problem *problem, const struct route_way *route) {
    struct found_way way = {0};
    bool enough = false;
    for (int i = 0; i < MANNER_COUNT && !enough; i++) {
        way = write_way(problem, route, MANNERS[i]);
        enough = suffices(problem, &way);
    }
    return way;
}
