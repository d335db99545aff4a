/* Look-ups in the pattern model. */
#include "pattern/pattern.h"

#include "ground/output.h"

int pattern_end(const struct pattern *pattern, enum end_name name) {
    for (int i = 0; i < pattern->end_count; i++)
        if (pattern->ends[i].name == name) return i;
    return NO_END;
}

int other_end(const struct pattern *pattern, int end) {
    for (int i = 0; i < pattern->end_count; i++)
        if (i != end && pattern->ends[i].string == pattern->ends[end].string) return i;
    return NO_END;
}

int clamps_allowed(const struct pattern *pattern, enum clamp_kind kind) {
    const struct intents *intents = &pattern->intents;
    int clamps = pattern->bench->clamps[kind];
    bool fewer = span_given(intents->clamps_span[kind]) && intents->clamps_most[kind] < clamps;
    return fewer ? intents->clamps_most[kind] : clamps;
}

/* Of the hoop. */
static const double LONG_PART = 1.0 / 8;
enum { MANY_PASSED = 5 };

bool loop_is_long(const struct frame *frame, double length, int passes) {
    return passes >= MANY_PASSED && length > LONG_PART * 2 * frame->outline.half_arc;
}

bool was_found(const struct pattern *pattern, struct span span) {
    return pattern->found != NULL && pattern->found->span.start == span.start;
}

bool is_held(const struct pattern *pattern, int strand) {
    for (size_t i = 0; i < pattern->intents.holds.count; i++)
        if (pattern->intents.holds.at[i].has[strand]) return true;
    return false;
}

/* Whether an act pulls a main that counts for the lead of one end over the other. */
static bool counts_for_lead(const struct pattern *pattern, const struct act *act) {
    const struct end *end = &pattern->ends[act->end];
    if (act->kind != ACT_PULL || end->string != 0) return false;
    const struct strand *strand = &pattern->frame->strands[end->passes.at[act->pass].strand];
    return strand->kind == MAIN && strand->number > 0;
}

bool lead_beyond(const struct pattern *pattern, int first, int then, struct lead *lead) {
    int pulled[3] = {0}, last = NO_END;
    bool changed = false;
    for (size_t i = 0; i < pattern->acts.count; i++) {
        const struct act *act = &pattern->acts.at[i];
        if (!counts_for_lead(pattern, act)) continue;
        if (last != NO_END && last != act->end) changed = true;
        last = act->end;
        pulled[act->end]++;
        *lead = (struct lead){.act = act,
                              .lead = pulled[act->end] - pulled[other_end(pattern, act->end)],
                              .limit = changed ? then : first};
        if (lead->lead > lead->limit) return true;
    }
    return false;
}

bool pulled_before_knot(const struct pattern *pattern, int strand) {
    int e = pattern->end_of[strand];
    if (e == NO_END) return false;
    const struct end *end = &pattern->ends[e];
    return end->tie.given && pattern->pass_of[strand] == (int)end->passes.count - 1;
}

static bool has_room(const struct pattern *pattern, int hole, const bool *stands) {
    if (hole == NO_HOLE || !pattern->frame->holes[hole].tie_off) return false;
    for (int e = 0; e < pattern->end_count; e++) {
        const struct end *end = &pattern->ends[e];
        if ((end->tie.given && end->tie.hole == hole) ||
            (end->start.given && end->start.hole == hole))
            return false;
    }
    int main = hole_main(pattern->frame, hole);
    return main != NO_STRAND && (stands[main]);
}

enum { MOST_NAMED = 4 };

static bool opposite_sides(const struct frame *frame, int a, int b) {
    return frame->holes[a].side == other_side(frame->holes[b].side) &&
           frame->holes[a].side != frame->holes[b].side;
}

/* Nearer than this part of the hoop. */
static const double NEAR_PART = 1.0 / 4;

const bool *pulled_by(const struct pattern *pattern, struct arena *arena, size_t act) {
    bool *pulled = arena_many(arena, bool, pattern->frame->strand_count + 1);
    for (size_t i = 0; i < act; i++) {
        const struct act *at = &pattern->acts.at[i];
        if (at->kind == ACT_PULL) pulled[pattern->ends[at->end].passes.at[at->pass].strand] = true;
    }
    return pulled;
}

/* The act with which a knot is tied: of a start on a clamp the one that ends the string. */
static size_t act_of_knot(const struct pattern *pattern, int end, const struct knot *knot) {
    bool start = knot == &pattern->ends[end].start && !pattern->ends[end].start_clamped;
    size_t act = 0;
    while (act < pattern->acts.count &&
           (pattern->acts.at[act].end != end ||
            pattern->acts.at[act].kind != (start ? ACT_START : ACT_TIE)))
        act++;
    return act;
}

const char *knot_room_words(const struct pattern *pattern, struct arena *arena, int end,
                            const struct knot *knot) {
    const struct frame *frame = pattern->frame;
    size_t passes = pattern->ends[end].passes.count;
    if (passes == 0) return NULL;
    int near = knot == &pattern->ends[end].start ? pattern->ends[end].passes.at[0].enter
                                                 : pattern->ends[end].passes.at[passes - 1].leave;
    const bool *stands = pulled_by(pattern, arena, act_of_knot(pattern, end, knot));
    bool *named = arena_many(arena, bool, frame->hole_count + 1);
    struct output out = output_to(arena);
    for (int count = 0; count < MOST_NAMED; count++) {
        int nearest = NO_HOLE;
        for (int i = 0; i < frame->hole_count; i++)
            if (i != near && !named[i] && has_room(pattern, i, stands) &&
                (count == 0 || !opposite_sides(frame, near, i)) &&
                (nearest == NO_HOLE ||
                 hoop_distance(frame, near, i) < hoop_distance(frame, near, nearest) - 1e-6))
                nearest = i;
        bool far = nearest != NO_HOLE &&
                   hoop_distance(frame, near, nearest) > NEAR_PART * 2 * frame->outline.half_arc;
        if (nearest == NO_HOLE || (far && count > 0)) break;
        named[nearest] = true;
        put_format(&out, "%s%s", count > 0 ? ", " : "", frame->holes[nearest].name);
    }
    return out.length > 0 ? output_text(&out) : NULL;
}
