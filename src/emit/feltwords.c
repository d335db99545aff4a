/* Figures of a bed in words, with their ranges. */
#include "emit/feltmaker.h"

#include "ground/units.h"

#include <math.h>
#include <string.h>

const enum kind felt_kinds[] = {MAIN, CROSS};

const char felt_left_out[] =
    "what string loses over time, what knots give back, friction between strings and at the "
    "holes, crimp at the crossings, bending out of the plane of the strings: tension as it is "
    "measured is lower";

enum unit felt_unit(const struct bed *bed) { return pull_unit(bed->pattern, 0); }

const char *felt_tension(const struct bed *bed, double newton, struct arena *arena) {
    enum unit unit = felt_unit(bed);
    return force_words(arena, newton, unit, unit == UNIT_KG ? 2 : 1);
}

static const char *bare(const struct bed *bed, double newton, struct arena *arena) {
    enum unit unit = felt_unit(bed);
    return format_decimal(arena, newton / unit_factor(unit), unit == UNIT_KG ? 2 : 1);
}

const char *bare_range(const struct bed *bed, struct range range, struct arena *arena) {
    return format(arena, "%s (%s to %s)", bare(bed, range.nominal, arena),
                  bare(bed, range.least, arena), bare(bed, range.most, arena));
}

const char *tension_range(const struct bed *bed, struct range range, struct arena *arena) {
    return format(arena, "%s (%s to %s)", felt_tension(bed, range.nominal, arena),
                  bare(bed, range.least, arena), bare(bed, range.most, arena));
}

const char *signed_words(double value, int decimals, struct arena *arena) {
    const char *words = format_decimal(arena, value, decimals);
    bool plus = value > 0 && strcmp(words, "0") != 0;
    return format(arena, "%s%s", plus ? "+" : "", strcmp(words, "-0") == 0 ? "0" : words);
}

const char *change_range(struct range range, struct arena *arena) {
    return format(arena, "%s mm (%s to %s)", signed_words(range.nominal, 2, arena),
                  signed_words(range.least, 2, arena), signed_words(range.most, 2, arena));
}

const char *moment_words(double moment, struct arena *arena) {
    return format(arena, "%s N m", format_decimal(arena, fabs(moment) / N_MM_PER_N_M, 1));
}

const char *moment_range(struct range range, struct arena *arena) {
    return format(arena, "%s (%s to %s)", moment_words(range.nominal, arena),
                  format_decimal(arena, range.least / N_MM_PER_N_M, 1),
                  format_decimal(arena, range.most / N_MM_PER_N_M, 1));
}

void json_range(struct json *j, const char *key, struct range range, double unit) {
    json_open(j, key);
    json_real(j, "value", range.nominal / unit);
    json_real(j, "least", range.least / unit);
    json_real(j, "most", range.most / unit);
    json_close(j);
}

const char *moment_change(const struct sweep *sweep, struct arena *arena) {
    struct range change = sweep->difference[FIGURE_MOMENT_PEAK];
    if (!sweep->differs[FIGURE_MOMENT_PEAK])
        return format(arena, "no clear difference (%s to %s N m)",
                      signed_words(change.least / N_MM_PER_N_M, 1, arena),
                      signed_words(change.most / N_MM_PER_N_M, 1, arena));
    bool less = change.most < 0;
    double from = fabs(less ? change.most : change.least),
           to = fabs(less ? change.least : change.most);
    return format(arena, "%s %s (%s to %s)", moment_words(change.nominal, arena),
                  less ? "less" : "more", format_decimal(arena, from / N_MM_PER_N_M, 1),
                  format_decimal(arena, to / N_MM_PER_N_M, 1));
}

const char *lead_words(const struct far_ahead *far, struct arena *arena) {
    const struct sweep *sweep = far->until_then;
    return format(
        arena, "by then the hoop has been bent by %s; in turn, %d ahead at the most, by %s: %s",
        moment_range(sweep->figures[0][FIGURE_MOMENT_PEAK], arena), LEAD_WORTH_TELLING,
        moment_range(sweep->figures[1][FIGURE_MOMENT_PEAK], arena), moment_change(sweep, arena));
}

const char *node_words(const struct bed *bed, int node, struct arena *arena) {
    enum place middle = middle_at_node(bed, node);
    if (middle != PLACE_UNSAID) return format(arena, "the middle of the %s", place_word(middle));
    return bed->pattern->frame->holes[hole_by_node(bed, node)].name;
}

const char *node_id(const struct bed *bed, int node) {
    enum place middle = middle_at_node(bed, node);
    if (middle != PLACE_UNSAID) return middle == PLACE_HEAD ? "0H" : "0T";
    return bed->pattern->frame->holes[hole_by_node(bed, node)].id;
}

const char *support_words(const struct support *support, struct arena *arena) {
    return format(arena, "%s %s", support->side == SUPPORT_INSIDE ? "inside" : "outside",
                  format_decimal(arena, support->clock, 2));
}

int step_of_event(const struct bed *bed, const struct sheet *sheet, int event) {
    return event == NO_EVENT ? 0 : step_of_move(sheet, bed->job.events[event].move);
}

const char *varied_words(struct known_values known, int sets, struct arena *arena) {
    struct output out = output_to(arena);
    if (known.hoop)
        put_format(&out, "squeeze%s 5 %% less to 5 %% more than measured, ",
                   known.throat ? ", wide and long," : "");
    else
        put(&out, "hoop half to twice as stiff, ");
    if (!known.throat) put(&out, "throat 1 to 4 times as stiff as the rest, ");
    if (!known.string) put(&out, "string 0.7 to 2 times as stiff, ");
    if (known.mount != MOUNT_KNOWN) put(&out, "mount a quarter to five times as stiff, ");
    if (known.mount == MOUNT_NOT_KNOWN) put(&out, "or held at 12 and 6 alone, ");
    put_format(&out, "each with each: %d sets of values", sets);
    return output_text(&out);
}

const char *facts_words(const struct bed *bed, bool assumed, struct arena *arena) {
    struct output out = output_to(arena);
    for (size_t i = 0; i < bed->facts.count; i++)
        if (bed->facts.at[i].assumed == assumed)
            put_format(&out, "%s%s", out.length > 0 ? "; " : "", bed->facts.at[i].words);
    return output_text(&out);
}
