/* From a pattern to a search's question: what is written becomes stretches, what is insisted on
 * rules.
 */
#include "search/problem.h"

#include "pattern/stages.h"

#include <math.h>

static const double PER_MM = 1000;

/* ---- loops ---- */

struct arc loop_arc(const struct frame *frame, int from, int to) {
    bool clockwise = goes_clockwise(frame, from, to);
    int span = clockwise ? to - from : from - to;
    return (struct arc){.from = from,
                        .to = to,
                        .start = clockwise ? from : to,
                        .span = span < 0 ? span + frame->hole_count : span,
                        .length = llround(hoop_distance(frame, from, to) * PER_MM)};
}

bool loop_is_legal(const struct problem *problem, const struct arc *loop) {
    if (problem->loops_most >= 0) return loop->length <= problem->loops_most;
    return !loop_is_long(problem->frame, hoop_distance(problem->frame, loop->from, loop->to),
                         loop->span - 1);
}

/* By strand, the shortest loop into it from any other's hole. */
static int64_t *least_ways(struct problem *problem) {
    const struct frame *frame = problem->frame;
    int64_t *least = arena_many(problem->arena, int64_t, frame->strand_count + 1);
    for (int s = 0; s < frame->strand_count; s++) {
        least[s] = INT64_MAX;
        for (int i = 0; i < 2; i++) {
            int hole = frame->strands[s].holes[i], count = frame->hole_count;
            int beside[] = {(hole + 1) % count, (hole + count - 1) % count};
            for (int k = 0; k < 2; k++) {
                struct arc loop = loop_arc(frame, beside[k], hole);
                if (loop.length < least[s]) least[s] = loop.length;
            }
        }
    }
    return least;
}

/* ---- what is written ---- */

static bool is_kept(const struct problem *problem, int line) {
    return problem->question.kept == NULL || problem->question.kept[line];
}

int leg_wish(size_t leg) { return WISHES + (int)leg; }

int hold_wish(const struct pattern *pattern, size_t hold) {
    return leg_wish(pattern->legs.count) + (int)hold;
}

int wish_count(const struct pattern *pattern) {
    return hold_wish(pattern, pattern->intents.holds.count) + 1;
}

/* Acts of what is written; false where it does not hold together by itself. */
static bool lay_written(struct problem *problem) {
    struct pattern *scratch = &problem->scratch;
    *scratch = *problem->pattern;
    scratch->legs.at = NULL;
    scratch->legs.count = scratch->legs.room = 0;
    for (size_t i = 0; i < problem->pattern->legs.count; i++)
        if (is_kept(problem, leg_wish(i)))
            *array_add(problem->arena, &scratch->legs) = problem->pattern->legs.at[i];
    struct source_map no_sources = source_map_in(problem->arena);
    struct report silent = report_in(problem->arena, &no_sources);
    silent.muted = true;
    lay_acts(scratch, problem->arena, &silent);
    return scratch->laid;
}

static bool act_is_of(const struct act *act, const struct leg *leg, const struct stretch *stretch) {
    if (stretch->items == 0) return act->span.start == leg->span.start;
    for (size_t i = 0; i < stretch->items; i++)
        if (leg->items.at[stretch->first_item + i].span.start == act->span.start) return true;
    return false;
}

static void add_stretch(struct problem *problem, struct stretch stretch) {
    const struct pattern *scratch = &problem->scratch;
    const struct leg *leg = &scratch->legs.at[stretch.leg];
    const struct stretch *before =
        problem->stretches.count > 0 ? &problem->stretches.at[problem->stretches.count - 1] : NULL;
    stretch.first_act = before != NULL ? before->first_act + before->acts : 0;
    while (stretch.first_act + stretch.acts < scratch->acts.count &&
           act_is_of(&scratch->acts.at[stretch.first_act + stretch.acts], leg, &stretch))
        stretch.acts++;
    *array_add(problem->arena, &problem->stretches) = stretch;
}

/* A leg of one end may be broken between its items, but not where it threads ahead. */
static void divide_leg(struct problem *problem, int number) {
    const struct leg *leg = &problem->scratch.legs.at[number];
    if (leg->both) {
        add_stretch(problem, (struct stretch){.leg = number});
        return;
    }
    for (size_t i = 0; i < leg->items.count;) {
        size_t items = 1;
        while (leg->thread_ahead > 0 && leg->items.at[i].kind == LEG_RUN &&
               i + items < leg->items.count && leg->items.at[i + items].kind == LEG_RUN)
            items++;
        add_stretch(problem, (struct stretch){.leg = number, .first_item = i, .items = items});
        i += items;
    }
}

static void note_written(struct problem *problem) {
    const struct pattern *scratch = &problem->scratch;
    for (size_t i = 0; i < scratch->legs.count; i++)
        divide_leg(problem, (int)i);
    for (int e = 0; e < problem->ends; e++) {
        problem->free_knots[e] = !scratch->ends[e].tie.given;
        problem->acts_left[e] = arena_many(problem->arena, int, problem->stretches.count + 1);
        for (size_t u = problem->stretches.count; u-- > 0;) {
            const struct stretch *stretch = &problem->stretches.at[u];
            problem->acts_left[e][u] = problem->acts_left[e][u + 1];
            for (size_t a = 0; a < stretch->acts; a++)
                problem->acts_left[e][u] += scratch->acts.at[stretch->first_act + a].end == e;
        }
        if (scratch->ends[e].name == END_CROSS) problem->free_start = !scratch->ends[e].start.given;
    }
    for (int s = 0; s < problem->strands; s++)
        problem->written[s] = scratch->end_of[s] != NO_END;
}

/* ---- what is insisted on ---- */

/* What waits, and who strings what: a line that is set aside says nothing of either, and what it
 * named is then as all others are. */
static void note_holds(struct problem *problem) {
    const struct intents *intents = &problem->pattern->intents;
    bool crosses = is_kept(problem, WISH_CROSSES_FROM);
    for (int s = 0; s < problem->strands; s++) {
        const struct for_end *by = intents->by != NULL ? &intents->by[s] : NULL;
        problem->by[s] = NO_END;
        for (size_t i = 0; i < intents->holds.count; i++) {
            const struct strand_set *hold = &intents->holds.at[i];
            if (!hold->has[s] || !is_kept(problem, hold_wish(problem->pattern, i))) continue;
            problem->held[s] = true;
            if (by != NULL && span_given(by->span) && by->span.start == hold->span.start)
                problem->by[s] = by->end;
        }
        bool cross = problem->frame->strands[s].kind == CROSS;
        if (cross && crosses && !problem->held[s] && !problem->skipped[s])
            problem->by[s] = intents->crosses_by;
    }
}

static void note_aims(struct problem *problem) {
    const enum aim *aims = problem->pattern->intents.aims;
    int count = 0;
    if (problem->question.shortest_loops) problem->order[count++] = AIM_LONGEST_LOOP;
    for (int i = 0; i < AIMS; i++)
        if (count == 0 || aims[i] != problem->order[0] || !problem->question.shortest_loops)
            problem->order[count++] = aims[i];
}

static bool crosses_are_written(const struct problem *problem) {
    for (int s = problem->frame->main_count; s < problem->strands; s++)
        if (problem->written[s]) return true;
    return false;
}

/* Of legs that are set aside what their line says of pulls ahead is kept. */
static void keep_ahead(struct problem *problem) {
    const struct pattern *pattern = problem->pattern;
    for (size_t i = 0; problem->question.without_legs && i < pattern->legs.count; i++) {
        const struct leg *leg = &pattern->legs.at[i];
        if (!leg->both || !span_given(leg->ahead_span) || problem->ahead_said) continue;
        problem->ahead_said = true;
        problem->ahead_first = leg->ahead_first;
        problem->ahead_then = leg->ahead_then;
    }
}

static void put_clamps(struct problem *problem) {
    struct bench *bench = arena_one(problem->arena, struct bench);
    *bench = *problem->pattern->bench;
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        bench->clamps[kind] = problem->question.clamps[kind];
    problem->scratch.bench = bench;
}

static void note_intents(struct problem *problem) {
    const struct intents *intents = &problem->pattern->intents;
    const struct frame *frame = problem->frame;
    if (is_kept(problem, WISH_CROSSES_FROM) && span_given(intents->crosses_from.span)) {
        problem->crosses_from = intents->crosses_from.place;
        if (intents->skip.has != NULL) problem->skipped = intents->skip.has;
    } else if (is_kept(problem, WISH_MAKER)) {
        problem->crosses_from = frame->crosses_from.place;
    }
    if (is_kept(problem, WISH_MAINS_FROM)) problem->mains_from = intents->mains_from.place;
    problem->ahead_first = problem->ahead_then = USUAL_LEAD;
    if (is_kept(problem, WISH_AHEAD) && intents->ahead_given) {
        problem->ahead_said = true;
        problem->ahead_first = intents->ahead_first;
        problem->ahead_then = intents->ahead_then;
    }
    keep_ahead(problem);
    problem->mirrored = problem->pattern->mirrored && problem->ends > 2;
    problem->begins = problem->mirrored ? 1 : 0;
    if (is_kept(problem, WISH_BEGINS) && span_given(intents->begins_span))
        problem->begins = pattern_end(problem->pattern, intents->begins);
    problem->long_is_longer =
        intents->pieces == 1 && (!crosses_are_written(problem) || problem->question.without_legs);
    problem->around = is_kept(problem, WISH_AROUND) && span_given(intents->around_span);
    problem->loops_most = problem->question.loops_most > 0 ? problem->question.loops_most : -1;
    if (is_kept(problem, WISH_LOOPS) && span_given(intents->loops_span))
        problem->loops_most = llround(intents->loops_most * PER_MM);
    if (is_kept(problem, WISH_FINISH)) problem->finish = intents->finish_at.place;
    static const int clamps[] = {[CLAMP_FIXED] = WISH_FIXED, [CLAMP_STARTING] = WISH_STARTING};
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        if (!is_kept(problem, clamps[kind]))
            problem->scratch.intents.clamps_span[kind] = (struct span){0};
    if (problem->question.clamps != NULL) put_clamps(problem);
    bool said = span_given(intents->long_side.span) || problem->pattern->side_asked;
    problem->side_free =
        intents->pieces == 1 && problem->scratch.legs.count == 0 &&
        !(said && is_kept(problem, WISH_LONG_SIDE)) &&
        (frame->short_side.side == SIDE_UNSAID || !is_kept(problem, WISH_SHORT_SIDE));
}

bool may_take_knot(const struct problem *problem, int hole) {
    return problem->frame->holes[hole].tie_off ||
           (problem->question.any_knot_hole && hole_main(problem->frame, hole) != NO_STRAND);
}

static bool finish_follows(const struct problem *problem, int strand) {
    const struct frame *frame = problem->frame;
    for (int i = 0; i < 2; i++)
        for (int hole = 0; hole < frame->hole_count; hole++) {
            int leave = frame->strands[strand].holes[i];
            if (hole == leave || frame->holes[hole].place != problem->finish) continue;
            struct arc loop = loop_arc(frame, leave, hole);
            if (may_take_knot(problem, hole) && loop_is_legal(problem, &loop)) return true;
        }
    return false;
}

/* The end that pulls last ties the last knot, where nothing is written that says otherwise. */
static void note_finish(struct problem *problem) {
    if (problem->finish == PLACE_UNSAID || problem->stretches.count > 0) return;
    bool held = problem->unheld < problem->strands;
    problem->finishes = arena_many(problem->arena, bool, problem->strands + 1);
    for (int s = 0; s < problem->strands; s++) {
        bool may_be_last = problem->held[s] || !held;
        problem->finishes[s] = may_be_last && finish_follows(problem, s);
        problem->finishing += problem->finishes[s];
    }
}

bool pose_problem(struct problem *problem, const struct pattern *pattern, struct question question,
                  struct arena *arena) {
    const struct frame *frame = pattern->frame;
    int strands = frame->strand_count;
    *problem = (struct problem){.pattern = pattern,
                                .frame = frame,
                                .arena = arena,
                                .question = question,
                                .ends = pattern->end_count,
                                .mains_ends = 2,
                                .strands = strands,
                                .written = arena_many(arena, bool, strands + 1),
                                .held = arena_many(arena, bool, strands + 1),
                                .by = arena_many(arena, int, strands + 1),
                                .skipped = arena_many(arena, bool, strands + 1)};
    if (!lay_written(problem)) return false;
    note_written(problem);
    note_intents(problem);
    note_holds(problem);
    note_aims(problem);
    for (int s = 0; s < strands; s++) {
        problem->unheld += !problem->held[s];
        problem->crosses_free |= frame->strands[s].kind == CROSS && !problem->written[s];
    }
    for (int h = 0; h < frame->hole_count; h++)
        problem->guided |= !question.any_lane && frame->holes[h].guide != LANE_UNSAID;
    problem->least_way = least_ways(problem);
    note_finish(problem);
    return true;
}
