/* The limits: tension against the range printed on the frame. */
#include "check/check.h"

#include "ground/rounding.h"
#include "ground/units.h"

#include <math.h>

/* A pull with less than this holds no bed together. */
static const double LEAST_PULL = NEWTON_PER_LB;

static bool has_range(const struct subject *s) { return s->frame->most_tension > 0; }

static bool above(double newton, double most) { return newton > most + 1e-6; }

/* A change by more than this part of the base is rarely meant: common practice is 5 to 10 %. */
static const double MOST_CHANGE = 0.15;

/* One strand and what is wrong with its tension: by its base, or by a line that changes it. */
struct strain {
    int strand;
    const struct pull_tension *tension;
    bool changed;
};

static struct span blamed(const struct strain *strain) {
    return strain->changed ? strain->tension->change_span : strain->tension->base_span;
}

/* Walks over the strands of which `judge` says that they are strained, the first for each line that
 * is to blame. */
static bool next_strain(const struct subject *s, struct strain *strain,
                        bool (*judge)(const struct subject *, struct strain *)) {
    uint32_t last = strain->strand >= 0 ? blamed(strain).start : 0;
    while (++strain->strand < s->frame->strand_count) {
        strain->tension = &s->pattern->tensions[strain->strand];
        if (strain->tension->base <= 0 || !judge(s, strain)) continue;
        if (span_given(blamed(strain)) && blamed(strain).start != last) return true;
    }
    return false;
}

static const struct strain NO_STRAIN = {.strand = -1};

static const char *strain_words(const struct subject *s, const struct strain *strain) {
    double newton = strain->changed ? strain->tension->pull : strain->tension->base;
    const char *pull = force_words(s->arena, newton, strain->tension->unit, 2);
    enum unit printed = s->frame->tension_unit;
    if (has_range(s) && printed != strain->tension->unit)
        pull = format(s->arena, "%s (%s)", pull, force_words(s->arena, newton, printed, 1));
    return strain->changed ? format(s->arena, "with this change %s is pulled with %s",
                                    s->frame->strands[strain->strand].name, pull)
                           : format(s->arena, "%s", pull);
}

static void note_range(const struct subject *s, struct finding *finding) {
    enum unit unit = s->frame->tension_unit;
    finding_note(s->report, finding, s->frame->tension_span,
                 "the range printed on the frame: %s to %s",
                 force_words(s->arena, s->frame->least_tension, unit, 2),
                 force_words(s->arena, s->frame->most_tension, unit, 2));
}

/* Strands of which no line says how hard to pull, in runs; NULL where every one is said. */
static const char *unsaid_words(const struct subject *s, int *count) {
    bool *unsaid = arena_many(s->arena, bool, s->frame->strand_count + 1);
    *count = 0;
    for (int i = 0; i < s->frame->strand_count; i++) {
        unsaid[i] = !span_given(s->pattern->tensions[i].base_span);
        *count += unsaid[i];
    }
    return strand_words(s->frame, s->arena, unsaid);
}

void check_tension_unknown(const struct subject *s) {
    int count;
    const char *unsaid = unsaid_words(s, &count);
    bool all = count == s->frame->strand_count, known = has_range(s);
    if (count == 0 || (all && known) || s->frame->damaged || s->pattern->tension_damaged) return;
    struct finding *finding =
        all ? report_add(s->report, RULE_tension_unknown, s->pattern->span,
                         "neither the pattern nor a range of the frame says how hard to pull")
            : report_add(s->report, RULE_tension_unknown, s->pattern->span,
                         "no line says how hard to pull %s", unsaid);
    if (!all && known)
        finding_note(s->report, finding, s->frame->tension_span,
                     "the middle of this range is assumed for %s", count == 1 ? "it" : "them");
    finding_help(s->report, finding,
                 all ? "write a line: tension 26 lb"
                     : "say it for all, then what differs: tension 26 lb, "
                       "crosses 25 lb");
}

static bool is_nothing(const struct subject *s, struct strain *strain) {
    (void)s;
    strain->changed = true;
    return strain->tension->pull < LEAST_PULL;
}

void check_tension_nothing(const struct subject *s) {
    struct strain strain = NO_STRAIN;
    while (next_strain(s, &strain, is_nothing)) {
        struct finding *finding = report_add(s->report, RULE_tension_nothing, blamed(&strain),
                                             "%s: that is no pull", strain_words(s, &strain));
        finding_help(s->report, finding, "a change with - takes away from the base, %s",
                     force_words(s->arena, strain.tension->base, strain.tension->unit, 2));
    }
}

static bool is_above(const struct subject *s, struct strain *strain) {
    double most = s->frame->most_tension * (1 + conversion_slack(s->pattern, strain->strand));
    strain->changed = !above(strain->tension->base, most);
    return above(strain->changed && !pulled_before_knot(s->pattern, strain->strand)
                     ? strain->tension->pull
                     : strain->tension->base,
                 most);
}

void check_tension_above(const struct subject *s) {
    struct strain strain = NO_STRAIN;
    while (has_range(s) && next_strain(s, &strain, is_above)) {
        struct finding *finding = report_add(s->report, RULE_tension_above, blamed(&strain),
                                             strain.changed ? "%s, above the frame's range"
                                                            : "%s is above the frame's range",
                                             strain_words(s, &strain));
        note_range(s, finding);
        finding_help(s->report, finding,
                     "a hoop loaded beyond its range can break: stay within it");
    }
}

static bool is_below(const struct subject *s, struct strain *strain) {
    double least = s->frame->least_tension * (1 - conversion_slack(s->pattern, strain->strand));
    strain->changed = !above(least, strain->tension->base);
    return strain->tension->pull >= LEAST_PULL &&
           above(least, strain->changed ? strain->tension->pull : strain->tension->base);
}

void check_tension_below(const struct subject *s) {
    struct strain strain = NO_STRAIN;
    while (has_range(s) && !s->frame->range_doubted && next_strain(s, &strain, is_below))
        note_range(s, report_add(s->report, RULE_tension_below, blamed(&strain),
                                 strain.changed ? "%s, below the frame's range"
                                                : "%s is below the frame's range",
                                 strain_words(s, &strain)));
}

static bool is_too_much_added(const struct subject *s, struct strain *strain) {
    strain->changed = true;
    return pulled_before_knot(s->pattern, strain->strand) &&
           above(strain->tension->pull, KNOT_ALLOWANCE * s->frame->most_tension *
                                            (1 + conversion_slack(s->pattern, strain->strand)));
}

void check_tension_added(const struct subject *s) {
    struct strain strain = NO_STRAIN;
    while (has_range(s) && next_strain(s, &strain, is_too_much_added)) {
        struct finding *finding =
            report_add(s->report, RULE_tension_added, blamed(&strain),
                       "%s, more than a tenth above the frame's range", strain_words(s, &strain));
        note_range(s, finding);
        finding_help(s->report, finding, "a knot gives a little back, not that much: add less");
    }
}

static bool is_jump(const struct subject *s, struct strain *strain) {
    (void)s;
    strain->changed = true;
    return above(strain->tension->pull, (1 + MOST_CHANGE) * strain->tension->base);
}

void check_tension_jump(const struct subject *s) {
    struct strain strain = NO_STRAIN;
    if (report_fired(s->report, RULE_tension_above, s->since)) return;
    while (next_strain(s, &strain, is_jump)) {
        const struct pull_tension *tension = strain.tension;
        struct finding *finding =
            report_add(s->report, RULE_tension_jump, blamed(&strain),
                       "%s, %s %% more than its base, %s", strain_words(s, &strain),
                       format_decimal(s->arena, 100 * (tension->pull / tension->base - 1), 0),
                       force_words(s->arena, tension->base, tension->unit, 2));
        finding_help(s->report, finding, "common practice is to add 5 to 10 %%");
    }
}

/* Whether a base is still the one of any strand; if not, the rule that took its last strand away.
 */
static const struct tension_rule *replaced_by(const struct subject *s,
                                              const struct tension_rule *rule) {
    struct span last = {0};
    for (int i = 0; i < s->frame->strand_count; i++) {
        struct span base = s->pattern->tensions[i].base_span;
        if (base.start == rule->span.start) return NULL;
        if (rule->strands.has[i]) last = base;
    }
    for (size_t i = 0; i < s->pattern->tension_rules.count; i++)
        if (s->pattern->tension_rules.at[i].span.start == last.start)
            return &s->pattern->tension_rules.at[i];
    return NULL;
}

void check_tension_replaced(const struct subject *s) {
    for (size_t i = 0; i < s->pattern->tension_rules.count; i++) {
        const struct tension_rule *rule = &s->pattern->tension_rules.at[i];
        const struct tension_rule *by = rule->sign == 0 ? replaced_by(s, rule) : NULL;
        if (by == NULL) continue;
        struct finding *finding = report_add(s->report, RULE_tension_replaced, rule->span,
                                             "nothing is left of this: every strand it names is "
                                             "given another tension later");
        finding_note(s->report, finding, by->span, "by this");
        finding_help(s->report, finding,
                     "the last line that names a strand counts: say first what holds for all");
    }
}

/* ---- the string ---- */

/* The terms that an author or a shop can do something about, of all that is cut from one string,
 * the largest first. */
static const char *savings(const struct subject *s, const struct string *string) {
    enum { TERMS = 3 };
    struct {
        const char *what;
        double length;
    } terms[TERMS] = {{"the reach to the tensioner", 0},
                      {"the outside loops", 0},
                      {"the tails for the knots", 0}};
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct cut *cut = &s->pattern->cuts[e];
        if (string_of_end(s->pattern, e) != string) continue;
        terms[0].length += cut->reach;
        terms[1].length += cut->loops;
        terms[2].length += cut->tail;
    }
    struct output out = output_to(s->arena);
    for (int shown = 0; shown < TERMS; shown++) {
        int most = 0;
        for (int i = 1; i < TERMS; i++)
            if (terms[i].length > terms[most].length) most = i;
        put_format(&out, "%s%s (%s m)", shown > 0 ? ", then " : "", terms[most].what,
                   format_decimal(s->arena, terms[most].length / 1000, 2));
        terms[most].length = -1;
    }
    return output_text(&out);
}

/* What is cut from one string, and by how much that is more than a set of it has. */
struct shortage {
    const struct string *string;
    int first, count; /* of the pieces */
    double cuts[2], all, missing;
};

static struct shortage shortage_of(const struct subject *s, int first) {
    struct shortage shortage = {.string = s->pattern->pieces[first].string, .first = first};
    for (int i = first; i < s->pattern->string_count; i++) {
        if (s->pattern->pieces[i].string != shortage.string) continue;
        shortage.cuts[shortage.count++] = s->pattern->pieces[i].cut;
        shortage.all += s->pattern->pieces[i].cut;
    }
    shortage.missing = shortage.all - shortage.string->length;
    return shortage;
}

/* Lengths in whole units of so many mm, chosen so that they add up. */
struct told_lengths {
    int unit, decimals; /* mm; of metres */
    int64_t cuts[2], all;
};

/* Less than this is told in mm, and then so is all else. */
enum { NEAR_MISS = 100 };

static struct told_lengths round_lengths(const struct shortage *shortage) {
    bool near = shortage->missing < NEAR_MISS;
    struct told_lengths told = {.unit = near ? 1 : 10, .decimals = near ? 3 : 2};
    double cuts[2], all = shortage->all / told.unit;
    for (int i = 0; i < shortage->count; i++)
        cuts[i] = shortage->cuts[i] / told.unit;
    told.all = near ? (int64_t)ceil(all) : llround(all);
    round_to_sum(cuts, told.cuts, shortage->count, told.all);
    return told;
}

static const char *metres(const struct subject *s, const struct told_lengths *told, double mm) {
    struct output out = output_to(s->arena);
    put_fixed(&out, mm / 1000, told->decimals);
    put(&out, " m");
    return output_text(&out);
}

/* "4.50 m are missing", "3 mm are missing" */
static const char *missing_words(const struct subject *s, const struct shortage *shortage,
                                 const struct told_lengths *told) {
    int mm = (int)ceil(shortage->missing);
    if (told->unit == 1) return format(s->arena, "%d mm %s missing", mm, mm == 1 ? "is" : "are");
    double missing = (double)told->all * told->unit - shortage->string->length;
    return format(s->arena, "%s are missing", metres(s, told, missing));
}

/* "the mains take 6.05 m and the crosses 4.45 m of soft, 10.50 m in all, but its set has" */
static const char *taken_words(const struct subject *s, const struct shortage *shortage,
                               const struct told_lengths *told) {
    const char *name = shortage->string->name;
    const char *first = metres(s, told, (double)told->cuts[0] * told->unit);
    if (s->pattern->string_count == 1)
        return format(s->arena, "the string is %s, but a set of %s has", first, name);
    if (shortage->count == 1)
        return format(s->arena, "the %s take %s of %s, but its set has",
                      shortage->first == 0 ? "mains" : "crosses", first, name);
    return format(s->arena,
                  "the mains take %s and the crosses %s of %s, %s in all, but its set has", first,
                  metres(s, told, (double)told->cuts[1] * told->unit), name,
                  metres(s, told, (double)told->all * told->unit));
}

static void tell_shortage(const struct subject *s, const struct shortage *shortage) {
    struct told_lengths told = round_lengths(shortage);
    const char *set = format_decimal(s->arena, shortage->string->length / 1000, 3);
    bool said = span_given(s->pattern->string_span);
    struct finding *finding = report_add(
        s->report, RULE_string_short, said ? s->pattern->string_span : s->pattern->span,
        "%s %s m: %s", taken_words(s, shortage, &told), set, missing_words(s, shortage, &told));
    finding_note(s->report, finding, shortage->string->span, "a set or reel of it has %s m", set);
    finding_help(s->report, finding, "what can be saved most on: %s", savings(s, shortage->string));
}

void check_string_short(const struct subject *s) {
    const struct string_piece *pieces = s->pattern->pieces;
    for (int i = 0; i < s->pattern->string_count; i++) {
        const struct string *string = pieces[i].string;
        if (string == NULL || string->length <= 0) continue;
        if (i > 0 && string == pieces[0].string) continue; /* told with the mains */
        struct shortage shortage = shortage_of(s, i);
        if (shortage.missing > 0) tell_shortage(s, &shortage);
    }
}
