/* Units, ranges, and which line may stand where. */
#include "resolve/values.h"

#include <math.h>

static const char *in_unit(struct arena *arena, double value, enum unit unit) {
    const char *word = unit_word(unit);
    return format(arena, "%s%s%s", format_decimal(arena, value / unit_factor(unit), 2),
                  word[0] != '\0' ? " " : "", word);
}

/* What a quantity may be given in, the usual first. */
static const enum unit units_of[][4] = {
    [DIMENSION_NUMBER] = {UNIT_NONE},
    [DIMENSION_LENGTH] = {UNIT_MM, UNIT_CM, UNIT_M, UNIT_IN},
    [DIMENSION_FORCE] = {UNIT_LB, UNIT_KG, UNIT_N},
    [DIMENSION_PERCENT] = {UNIT_PERCENT},
    [DIMENSION_DENSITY] = {UNIT_G_CM3},
    [DIMENSION_TIME] = {UNIT_S},
    [DIMENSION_STIFFNESS] = {UNIT_N_MM, UNIT_KG_MM, UNIT_LB_MM}};

/* Where a quantity may lie. */
struct range {
    double least, most;
};

static bool lies_within(double value, struct range range) {
    double slack = 1e-9 * range.most;
    return value >= range.least - slack && value <= range.most + slack;
}

static bool is_round(double value) {
    return fabs(value * 10 - round(value * 10)) < 1e-6 && value < 10000;
}

/* The unit to tell a range in: the one given, but for metres and their parts the one of them in
 * which it is round. */
static enum unit telling_unit(struct range range, enum unit given) {
    static const enum unit metric[] = {UNIT_MM, UNIT_CM, UNIT_M};
    if (given != UNIT_MM && given != UNIT_CM && given != UNIT_M) return given;
    for (size_t i = 0; i <= sizeof metric / sizeof *metric; i++) {
        enum unit unit = i == 0 ? given : metric[i - 1];
        double factor = unit_factor(unit);
        if (is_round(range.least / factor) && is_round(range.most / factor)) return unit;
    }
    return given;
}

/* With three digits that count, rounded into the range by `inwards`. */
static const char *limit_words(struct arena *arena, double value, enum unit unit,
                               double (*inwards)(double)) {
    enum { DIGITS = 3 };
    static const double same = 1e-9;
    double number = value / unit_factor(unit);
    int before = number > 0 ? (int)floor(log10(number)) + 1 : 1;
    int decimals = before < DIGITS ? DIGITS - before : 0;
    double power = pow(10, decimals), scaled = number * power;
    double whole = fabs(scaled - round(scaled)) < same * scaled ? round(scaled) : inwards(scaled);
    const char *word = unit_word(unit);
    return format(arena, "%s%s%s", format_decimal(arena, whole / power, decimals),
                  word[0] != '\0' ? " " : "", word);
}

static const char *range_words(struct arena *arena, struct range range, enum unit given) {
    enum unit unit = telling_unit(range, given);
    return format(arena, "it lies between %s and %s", limit_words(arena, range.least, unit, ceil),
                  limit_words(arena, range.most, unit, floor));
}

/* Says what to write for a number without a unit or with one of another kind: the first unit in
 * which it makes sense. */
static void suggest_unit(struct report *report, struct finding *finding, struct tree_number number,
                         enum dimension dimension, struct range range) {
    struct arena *arena = report->arena;
    const char *digits = format_decimal(arena, number.value, 6);
    const enum unit *units = units_of[dimension];
    for (int i = 0; i < 4 && units[i] != UNIT_NONE; i++) {
        if (!lies_within(number.value * unit_factor(units[i]), range)) continue;
        finding_help(report, finding, "write %s %s if that is meant", digits, unit_word(units[i]));
        finding_fix(report, finding, false, number.span, "%s %s", digits, unit_word(units[i]));
        return;
    }
    finding_help(report, finding, "%s", range_words(arena, range, units[0]));
}

/* "crosses 95 %": what is meant is a change. */
static void suggest_change(struct report *report, struct finding *finding,
                           struct tree_number number) {
    double change = number.value > 50 ? number.value - 100 : number.value;
    const char *digits = format_decimal(report->arena, fabs(change), 2);
    finding_help(report, finding, "per cents are a change of what is given in lb, kg or N: %c%s %%",
                 change < 0 ? '-' : '+', digits);
    finding_fix(report, finding, false, number.span, "%c%s %%", change < 0 ? '-' : '+', digits);
}

static void wrong_unit(struct report *report, struct tree_number number, enum dimension dimension,
                       const char *what, struct range range) {
    struct finding *finding;
    if (dimension == DIMENSION_NUMBER) {
        const char *digits = format_decimal(report->arena, number.value, 6);
        finding = report_add(report, RULE_unit_wrong, number.span,
                             "%s is a plain number, without a unit", what);
        finding_help(report, finding, "write %s", digits);
        finding_fix(report, finding, false, number.span, "%s", digits);
        return;
    }
    if (number.unit == UNIT_NONE)
        finding = report_add(report, RULE_unit_missing, number.span,
                             "%s has no unit: it is given in %s", what, dimension_units(dimension));
    else
        finding = report_add(report, RULE_unit_wrong, number.span, "%s is given in %s, not in %s",
                             what, dimension_units(dimension), unit_word(number.unit));
    if (dimension == DIMENSION_FORCE && number.unit == UNIT_PERCENT)
        suggest_change(report, finding, number);
    else
        suggest_unit(report, finding, number, dimension, range);
}

bool take_value(struct report *report, struct tree_number number, enum dimension dimension,
                const char *what, double least, double most, double *value) {
    struct arena *arena = report->arena;
    struct range range = {least, most};
    if (unit_dimension(number.unit) != dimension) {
        wrong_unit(report, number, dimension, what, range);
        return false;
    }
    *value = number.value * unit_factor(number.unit);
    if (lies_within(*value, range)) return true;
    struct finding *finding =
        report_add(report, RULE_number_range, number.span, "%s of %s is out of all sense", what,
                   in_unit(arena, *value, number.unit));
    finding_help(report, finding, "%s", range_words(arena, range, number.unit));
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

/* A tension is a range in a frame and one value in a pattern. */
static bool tension_otherwise(struct report *report, const struct tree_line *line,
                              enum block_mask block) {
    struct finding *finding;
    if (line->kind == LINE_TENSION && block == IN_FRAME) {
        finding = report_add(report, RULE_line_misplaced, line->span,
                             "a frame's tension is a range: what is printed on it");
        finding_help(report, finding, "write it so: tension 50..60 lb");
        return true;
    }
    if (line->kind != LINE_RANGE || block != IN_PATTERN) return false;
    struct tree_number most = line->as.range.most;
    finding = report_add(report, RULE_line_misplaced, line->span,
                         "a pattern gives one tension, not a range");
    finding_help(report, finding, "write: tension %s %s",
                 format_decimal(report->arena, most.value, 6), unit_word(most.unit));
    return true;
}

void judge_lines(struct report *report, const struct tree_definition *definition,
                 enum block_mask block) {
    const struct tree_line *first[LINE_KINDS] = {0};
    for (const struct tree_line *line = definition->lines; line != NULL; line = line->next) {
        if (!(line_rows[line->kind].blocks & (unsigned)block)) {
            if (tension_otherwise(report, line, block)) continue;
            struct finding *finding =
                report_add(report, RULE_line_misplaced, line->span,
                           "%s `%s` line has no place in a %s", a_word(line_rows[line->kind].words),
                           line_rows[line->kind].words, block_word(block));
            finding_help(report, finding, "it belongs in %s",
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
