/* The limits: tension against the range printed on the frame. */
#include "check/check.h"

#include "ground/units.h"

static const char *in_lb(const struct subject *s, double newton) {
    return format(s->arena, "%s lb", format_decimal(s->arena, newton / NEWTON_PER_LB, 1));
}

static bool has_range(const struct subject *s) { return s->frame->most_tension > 0; }

static void note_range(const struct subject *s, struct finding *finding) {
    finding_note(s->report, finding, s->frame->tension_span,
                 "the range printed on the frame: %s to %s", in_lb(s, s->frame->least_tension),
                 in_lb(s, s->frame->most_tension));
}

void check_tension_unknown(const struct subject *s) {
    if (s->frame->damaged) return;
    for (int i = 0; i < s->frame->strand_count; i++) {
        if (s->pattern->tensions[i].base > 0) continue;
        struct finding *finding =
            report_add(s->report, RULE_tension_unknown, s->pattern->span,
                       "neither the pattern nor a range of the frame says how hard to pull");
        finding_help(s->report, finding, "write a line: tension 26 lb");
        return;
    }
}

void check_tension_above(const struct subject *s) {
    for (int i = 0; has_range(s) && i < s->frame->strand_count; i++) {
        const struct pull_tension *tension = &s->pattern->tensions[i];
        if (tension->base <= s->frame->most_tension + 1e-6) continue;
        struct finding *finding =
            report_add(s->report, RULE_tension_above, tension->base_span,
                       "%s is above the frame's range", in_lb(s, tension->base));
        note_range(s, finding);
        finding_help(s->report, finding,
                     "a hoop loaded beyond its range can break: stay within it");
    }
}

void check_tension_below(const struct subject *s) {
    for (int i = 0; has_range(s) && i < s->frame->strand_count; i++) {
        const struct pull_tension *tension = &s->pattern->tensions[i];
        if (tension->base <= 0 || tension->base >= s->frame->least_tension - 1e-6) continue;
        note_range(s, report_add(s->report, RULE_tension_below, tension->base_span,
                                 "%s is below the frame's range", in_lb(s, tension->base)));
    }
}

void check_tension_added(const struct subject *s) {
    uint32_t said = 0; /* once for each line that adds */
    for (int i = 0; has_range(s) && i < s->frame->strand_count; i++) {
        const struct pull_tension *tension = &s->pattern->tensions[i];
        if (tension->pull <= 1.1 * s->frame->most_tension + 1e-6) continue;
        if (tension->change_span.start == said) continue;
        said = tension->change_span.start;
        struct finding *finding = report_add(s->report, RULE_tension_added, tension->change_span,
                                             "with what is added here %s is pulled with %s, more "
                                             "than a tenth above the frame's range",
                                             s->frame->strands[i].name, in_lb(s, tension->pull));
        note_range(s, finding);
    }
}
