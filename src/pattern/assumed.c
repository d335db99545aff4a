/* What the source does not say and was assumed, once for all that print it. */
#include "pattern/stages.h"

#include "ground/units.h"

static void assume(struct pattern *pattern, struct arena *arena, const char *what,
                   const char *words) {
    *array_add(arena, &pattern->assumed) = (struct assumption){what, words};
}

static const char *mm(struct arena *arena, double value) {
    return format(arena, "%s mm", format_decimal(arena, value, 2));
}

static bool says_gauge(const struct string *string) { return string != NULL && string->gauge > 0; }

static bool says_stretch(const struct string *string) {
    return string != NULL && string->stretch_at > 0;
}

static bool any_tension_assumed(const struct pattern *pattern) {
    for (int i = 0; i < pattern->frame->strand_count; i++)
        if (!span_given(pattern->tensions[i].base_span) && pattern->tensions[i].base > 0)
            return true;
    return false;
}

static const char *step_words(const struct pattern *pattern, struct arena *arena) {
    enum unit unit = pattern->tensions[0].unit;
    return force_words(arena, tension_step(pattern, unit), unit, 2);
}

void list_assumptions(struct pattern *pattern, struct arena *arena) {
    const struct frame *frame = pattern->frame;
    const struct bench *bench = pattern->bench;
    bool side_given = span_given(pattern->intents.long_side.span) || pattern->side_asked;
    if (pattern->intents.pieces == 1 && !side_given)
        assume(pattern, arena, "pattern.long_side",
               format(arena, "long side %s", side_word(pattern->intents.long_side.side)));
    if (any_tension_assumed(pattern))
        assume(pattern, arena, "tension", "the middle of the printed range as tension");
    if (!bench->clamps_given)
        assume(pattern, arena, "bench.clamps",
               format(arena, "%d fixed clamps and %d starting clamp", bench->clamps[CLAMP_FIXED],
                      bench->clamps[CLAMP_STARTING]));
    if (!bench->reach_given)
        assume(pattern, arena, "bench.reach",
               format(arena, "%s to the tensioner", mm(arena, bench->reach)));
    if (bench->step <= 0)
        assume(pattern, arena, "bench.step",
               format(arena, "tensions set by steps of %s", step_words(pattern, arena)));
    if (!bench->pace_given) assume(pattern, arena, "bench.pace", "a usual pace");
    if (!frame->tape_given)
        assume(pattern, arena, "frame.tape", "holes spread evenly round the hoop");
    if (!frame->wall_given)
        assume(pattern, arena, "frame.wall", format(arena, "a wall of %s", mm(arena, frame->wall)));
    if (!frame->lanes_given) assume(pattern, arena, "frame.lanes", "two lanes");
    if (!says_gauge(pattern->mains_string) || !says_gauge(pattern->crosses_string))
        assume(pattern, arena, "string.gauge",
               format(arena, "string of %s", mm(arena, assumed_gauge(frame))));
    if (!says_stretch(pattern->mains_string) || !says_stretch(pattern->crosses_string))
        assume(pattern, arena, "string.stretch", "string that does not stretch");
    assume(pattern, arena, "string.tail",
           format(arena, "%s of tail for each knot", mm(arena, ASSUMED_TAIL)));
}
