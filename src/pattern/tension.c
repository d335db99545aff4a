/* Tension: the last line that names a strand gives its base; every change that names it is added,
 * per cents of the base. Where nothing is said the middle of the frame's range is assumed. */
#include "pattern/stages.h"

static bool is_outer_main(const struct frame *frame, int strand) {
    return frame->strands[strand].kind == MAIN && (strand == 0 || strand == frame->main_count - 1);
}

static bool names(const struct pattern *pattern, const struct tension_rule *rule, int strand) {
    switch (rule->target) {
    case TENSION_LAST_PULLS: return pulled_before_knot(pattern, strand);
    case TENSION_OUTER_MAINS: return is_outer_main(pattern->frame, strand);
    default: return rule->strands.has[strand];
    }
}

static struct pull_tension tension_of(const struct pattern *pattern, int strand) {
    const struct frame *frame = pattern->frame;
    struct pull_tension tension = {.base = (frame->least_tension + frame->most_tension) / 2,
                                   .unit = frame->tension_unit};
    for (size_t i = 0; i < pattern->tension_rules.count; i++) {
        const struct tension_rule *rule = &pattern->tension_rules.at[i];
        if (rule->sign != 0 || !names(pattern, rule, strand)) continue;
        tension.base = rule->amount;
        tension.unit = rule->unit;
        tension.base_span = rule->span;
        tension.base_line = rule->line;
    }
    tension.pull = tension.base;
    for (size_t i = 0; i < pattern->tension_rules.count; i++) {
        const struct tension_rule *rule = &pattern->tension_rules.at[i];
        if (rule->sign == 0 || !names(pattern, rule, strand)) continue;
        bool percent = rule->unit == UNIT_PERCENT;
        tension.pull += rule->sign * (percent ? tension.base * rule->amount / 100 : rule->amount);
        tension.change_span = rule->span;
    }
    return tension;
}

void set_tensions(struct pattern *pattern, struct arena *arena) {
    int count = pattern->frame->strand_count;
    pattern->tensions = arena_many(arena, struct pull_tension, count + 1);
    for (int i = 0; i < count; i++)
        pattern->tensions[i] = tension_of(pattern, i);
}
