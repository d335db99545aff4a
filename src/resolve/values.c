/* Units, ranges, and which line may stand where. */
#include "resolve/values.h"

#include <math.h>

static const char *in_unit(struct arena *arena, double value, enum unit unit) {
    const char *word = unit_word(unit);
    return format(arena, "%s%s%s", format_decimal(arena, value / unit_factor(unit), 2),
                  word[0] != '\0' ? " " : "", word);
}

static const char *example_unit(enum dimension dimension) {
    static const char *const words[] = {"", "mm", "lb", "%", "g/cm3", "s"};
    return words[dimension];
}

bool take_value(struct report *report, struct tree_number number, enum dimension dimension,
                const char *what, double least, double most, double *value) {
    struct arena *arena = report->arena;
    enum dimension given = unit_dimension(number.unit);
    if (given != dimension) {
        const char *digits = format_decimal(arena, number.value, 6);
        struct finding *finding;
        if (dimension == DIMENSION_NUMBER) {
            finding = report_add(report, RULE_unit_wrong, number.span,
                                 "%s is a plain number, without a unit", what);
            finding_help(report, finding, "write %s", digits);
            finding_fix(report, finding, false, number.span, "%s", digits);
            return false;
        }
        if (number.unit == UNIT_NONE)
            finding =
                report_add(report, RULE_unit_missing, number.span,
                           "%s has no unit: it is given in %s", what, dimension_units(dimension));
        else
            finding =
                report_add(report, RULE_unit_wrong, number.span, "%s is given in %s, not in %s",
                           what, dimension_units(dimension), unit_word(number.unit));
        finding_help(report, finding, "write %s %s if that is meant", digits,
                     example_unit(dimension));
        finding_fix(report, finding, false, number.span, "%s %s", digits, example_unit(dimension));
        return false;
    }
    *value = number.value * unit_factor(number.unit);
    double slack = 1e-9 * most;
    if (*value >= least - slack && *value <= most + slack) return true;
    struct finding *finding =
        report_add(report, RULE_number_range, number.span, "%s of %s is out of all sense", what,
                   in_unit(arena, *value, number.unit));
    finding_help(report, finding, "it lies between %s and %s", in_unit(arena, least, number.unit),
                 in_unit(arena, most, number.unit));
    return false;
}

bool take_count(struct report *report, struct tree_number number, const char *what, int least,
                int most, int *value) {
    double taken;
    if (!take_value(report, number, DIMENSION_NUMBER, what, least, most, &taken)) return false;
    if (taken != floor(taken)) {
        report_add(report, RULE_number_range, number.span, "%s is a whole number", what);
        return false;
    }
    *value = (int)taken;
    return true;
}

static const struct {
    const char *words;
    unsigned blocks;
    bool once;
} line_rows[LINE_KINDS] = {
#define LINE(kind, words, blocks, once) [LINE_##kind] = {words, blocks, once},
    TREE_LINES
#undef LINE
};

static const char *block_word(unsigned block) {
    return block == IN_FRAME    ? "frame"
           : block == IN_STRING ? "string"
           : block == IN_BENCH  ? "bench"
                                : "pattern";
}

static const char *a_word(const char *word) {
    return word[0] == 'o' || word[0] == 'i' ? "an" : "a";
}

static const char *homes(struct arena *arena, unsigned blocks) {
    struct output out = output_to(arena);
    static const unsigned each[] = {IN_FRAME, IN_STRING, IN_BENCH, IN_PATTERN};
    const char *between = "";
    for (size_t i = 0; i < sizeof each / sizeof *each; i++) {
        if (!(blocks & each[i])) continue;
        put_format(&out, "%s%s %s", between, a_word(block_word(each[i])), block_word(each[i]));
        between = " or ";
    }
    return output_text(&out);
}

void judge_lines(struct report *report, const struct tree_definition *definition,
                 enum block_mask block) {
    const struct tree_line *first[LINE_KINDS] = {0};
    for (const struct tree_line *line = definition->lines; line != NULL; line = line->next) {
        if (!(line_rows[line->kind].blocks & (unsigned)block)) {
            struct finding *finding =
                report_add(report, RULE_line_misplaced, line->span,
                           "%s `%s` line has no place in a %s", a_word(line_rows[line->kind].words),
                           line_rows[line->kind].words, block_word(block));
            finding_help(report, finding, "it belongs into %s",
                         homes(report->arena, line_rows[line->kind].blocks));
            continue;
        }
        const struct tree_line **before = &first[line->kind];
        if (*before != NULL && line_rows[line->kind].once) {
            struct finding *finding =
                report_add(report, RULE_line_twice, line->span, "`%s` is said twice in this %s",
                           line_rows[line->kind].words, block_word(block));
            finding_note(report, finding, (*before)->span, "it is first said here");
        }
        if (*before == NULL) *before = line;
    }
}
