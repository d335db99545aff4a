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

static bool any_tension_assumed(const struct pattern *pattern) {
    for (int i = 0; i < pattern->frame->strand_count; i++)
        if (!span_given(pattern->tensions[i].base_span) && pattern->tensions[i].base > 0)
            return true;
    return false;
}

/* "0.5 lb", or for each unit that a tension is written in. */
static const char *step_words(const struct pattern *pattern, struct arena *arena) {
    static const enum unit units[] = {UNIT_LB, UNIT_KG, UNIT_N};
    struct output out = output_to(arena);
    for (size_t u = 0; u < sizeof units / sizeof *units; u++) {
        bool used = false;
        for (int i = 0; i < pattern->frame->strand_count; i++)
            used |= pattern->tensions[i].unit == units[u];
        if (used)
            put_format(&out, "%s%s", out.length > 0 ? " and " : "",
                       force_words(arena, tension_step(pattern, units[u]), units[u], 2));
    }
    return output_text(&out);
}

static void assume_pace(struct pattern *pattern, struct arena *arena) {
    const struct bench *bench = pattern->bench;
    struct output out = output_to(arena);
    int count = 0, told = 0;
    for (int kind = 0; kind < PACES; kind++)
        count += !bench->pace_given[kind];
    for (int kind = 0; kind < PACES; kind++) {
        if (bench->pace_given[kind]) continue;
        put_format(&out, "%s%s",
                   told == 0           ? ""
                   : told + 1 == count ? " and "
                                       : ", ",
                   pace_word((enum pace)kind));
        told++;
    }
    if (count == PACES) {
        assume(pattern, arena, "bench.pace", "a usual pace");
        return;
    }
    if (count == 0) return;
    const char *words = format(arena, "a usual pace of %s", output_text(&out));
    for (int kind = 0; kind < PACES; kind++) {
        if (bench->pace_given[kind]) continue;
        assume(pattern, arena, format(arena, "bench.pace.%s", pace_word((enum pace)kind)), words);
        words = NULL; /* said once for all of them */
    }
}

static void assume_bench(struct pattern *pattern, struct arena *arena) {
    const struct bench *bench = pattern->bench;
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
    assume_pace(pattern, arena);
}

/* ---- of the strings ---- */

typedef bool lacks_function(const struct string *string);

static bool lacks_gauge(const struct string *string) {
    return string == NULL || string->gauge <= 0;
}

static bool lacks_stretch(const struct string *string) {
    return string == NULL || string->stretch_at <= 0;
}

/* Only where the weight is told, which takes a density. */
static bool lacks_density(const struct string *string) {
    return string != NULL && string->density <= 0 && density_of(string) > 0;
}

/* What is assumed of a string: of both, of the only one, or of the one of mains or crosses. `words`
 * says it of the string it is given. */
static void assume_of_string(struct pattern *pattern, struct arena *arena, const char *what,
                             lacks_function *lacks,
                             const char *(*words)(const struct pattern *pattern,
                                                  struct arena *arena, const char *which,
                                                  const struct string *string)) {
    static const char *const kinds[] = {"mains", "crosses"};
    const struct string *strings[] = {pattern->mains_string, pattern->crosses_string};
    if (strings[0] == strings[1]) {
        if (lacks(strings[0]))
            assume(pattern, arena, what, words(pattern, arena, "string", strings[0]));
        return;
    }
    for (int i = 0; i < 2; i++)
        if (lacks(strings[i]))
            assume(pattern, arena, format(arena, "%s.%s", what, kinds[i]),
                   words(pattern, arena, kinds[i], strings[i]));
}

static const char *gauge_words(const struct pattern *pattern, struct arena *arena,
                               const char *which, const struct string *string) {
    (void)string;
    return format(arena, "%s of %s", which, mm(arena, assumed_gauge(pattern->frame)));
}

static const char *stretch_words(const struct pattern *pattern, struct arena *arena,
                                 const char *which, const struct string *string) {
    bool one = string == pattern->mains_string && string == pattern->crosses_string;
    return format(arena, "%s that %s not stretch", which, one ? "does" : "do");
}

static const char *density_words(const struct pattern *pattern, struct arena *arena,
                                 const char *which, const struct string *string) {
    (void)pattern;
    return format(arena, "%s of solid %s of %s g/cm3", which, string->material,
                  format_decimal(arena, density_of(string), 2));
}

static void assume_strings(struct pattern *pattern, struct arena *arena) {
    assume_of_string(pattern, arena, "string.gauge", lacks_gauge, gauge_words);
    assume_of_string(pattern, arena, "string.stretch", lacks_stretch, stretch_words);
    assume_of_string(pattern, arena, "string.density", lacks_density, density_words);
    assume(pattern, arena, "string.tail",
           format(arena, "%s of tail for each knot", mm(arena, ASSUMED_TAIL)));
}

void list_assumptions(struct pattern *pattern, struct arena *arena) {
    const struct frame *frame = pattern->frame;
    bool side_given = span_given(pattern->intents.long_side.span) || pattern->side_asked;
    if (pattern->intents.pieces == 1 && !side_given)
        assume(pattern, arena, "pattern.long_side",
               format(arena, "long side %s", side_word(pattern->intents.long_side.side)));
    const struct found_legs *found = pattern->found;
    if (found != NULL)
        assume(pattern, arena, "pattern.legs",
               found->proved ? "legs as the search found them, none better"
                             : "legs as the search found them, perhaps not the best");
    enum place mains_from = pattern->intents.mains_from.place;
    if (found != NULL && !span_given(pattern->intents.mains_from.span) &&
        mains_from != PLACE_UNSAID)
        assume(pattern, arena, "pattern.mains_from",
               format(arena, "mains from %s", place_word(mains_from)));
    if (any_tension_assumed(pattern))
        assume(pattern, arena, "tension", "the middle of the printed range as tension");
    assume_bench(pattern, arena);
    if (!frame->tape_given)
        assume(pattern, arena, "frame.tape", "holes spread evenly round the hoop");
    if (!frame->wall_given)
        assume(pattern, arena, "frame.wall", format(arena, "a wall of %s", mm(arena, frame->wall)));
    if (!frame->lanes_given) assume(pattern, arena, "frame.lanes", "two lanes");
    assume_strings(pattern, arena);
}
