/* A pattern from its block: what it is made with, its tensions. What it insists on is resolved in
 * intents.c, its legs in legs.c. */
#include "resolve/pattern.h"

#include "ground/limits.h"
#include "resolve/mirror.h"
#include "resolve/values.h"

#include <string.h>

/* ---- strands ---- */

static const char *kind_letter(enum kind kind) { return kind == MAIN ? "M" : "C"; }

static void unknown_strand(struct pattern_parts *parts, struct span span, enum kind kind,
                           enum side side, bool said, int number) {
    const struct frame *frame = parts->frame;
    struct report *report = parts->library->report;
    int least = LIMIT_NUMBER + 1, most = 0;
    for (int i = 0; i < frame->strand_count; i++) {
        if (frame->strands[i].kind != kind) continue;
        if (frame->strands[i].number > most) most = frame->strands[i].number;
        if (frame->strands[i].number < least) least = frame->strands[i].number;
    }
    /* A side is worth a word where it is written, or where the other one has such a main. */
    bool sided = kind == MAIN && (side == SIDE_LEFT || side == SIDE_RIGHT) &&
                 (said || frame_strand(frame, kind, other_side(side), number) != NO_STRAND);
    const char *words = sided ? format(report->arena, "%s ", side_word(side)) : "";
    if (kind == MAIN && number == 0) {
        report_add(report, RULE_strand_unknown, span, "%s has no M0: its count of mains is even",
                   frame->name);
        return;
    }
    struct finding *finding = report_add(
        report, RULE_strand_unknown, span, "%s has no %s%s%d: its %s are %s%d to %s%d", frame->name,
        words, kind_letter(kind), number, kind == MAIN ? "mains" : "crosses", kind_letter(kind),
        least, kind_letter(kind), most);
    finding_note(report, finding, frame->span, "%s is defined here", frame->name);
}

bool range_sound(struct pattern_parts *parts, const struct tree_strands *strands) {
    struct report *report = parts->library->report;
    struct finding *finding;
    if (strands->first.kind != strands->last.kind) {
        finding = report_add(report, RULE_malformed, strands->span,
                             "a run goes from main to main or from cross to cross");
        finding_help(report, finding, "write two runs: first the one, then the other");
        return false;
    }
    bool centre =
        strands->first.kind == CROSS || (strands->first.number == 0 && strands->last.number == 0);
    if (strands->side == SIDE_UNSAID || !centre) return true;
    const char *side = side_word(strands->side);
    bool cross = strands->first.kind == CROSS;
    finding = report_add(report, RULE_side_misplaced, strands->span,
                         "%s lies on no side: take %s out", cross ? "a cross" : "M0", side);
    if (cross)
        finding_help(report, finding, "in a leg, C%d from %s says where it is entered",
                     strands->first.number, side);
    return false;
}

int range_size(const struct tree_strands *strands) {
    int way = strands->last.number - strands->first.number;
    return (way < 0 ? -way : way) + 1;
}

int find_strand(struct pattern_parts *parts, const struct tree_strands *strands, enum side side,
                int number) {
    int strand = frame_strand(parts->frame, strands->first.kind, side, number);
    if (strand == NO_STRAND)
        unknown_strand(parts, strands->span, strands->first.kind, side,
                       strands->side != SIDE_UNSAID, number);
    return strand;
}

struct strand_set new_set(struct pattern_parts *parts, struct span span) {
    return (struct strand_set){
        arena_many(parts->library->arena, bool, parts->frame->strand_count + 1), span};
}

bool add_to_set(struct pattern_parts *parts, struct strand_set *set,
                const struct tree_strands *strands) {
    if (!range_sound(parts, strands)) return false;
    static const enum side sides[] = {SIDE_RIGHT, SIDE_LEFT};
    int step = strands->last.number >= strands->first.number ? 1 : -1;
    for (int i = 0, n = strands->first.number; i < range_size(strands); i++, n += step)
        for (int s = 0; s < 2; s++) {
            if (strands->side != SIDE_UNSAID && strands->side != sides[s]) continue;
            int strand = find_strand(parts, strands, sides[s], n);
            if (strand == NO_STRAND) return false;
            set->has[strand] = true;
        }
    return true;
}

static void add_kind(struct pattern_parts *parts, struct strand_set *set, enum kind kind) {
    for (int i = 0; i < parts->frame->strand_count; i++)
        if (parts->frame->strands[i].kind == kind) set->has[i] = true;
}

/* ---- tension ---- */

static bool same_target(const struct pattern_parts *parts, const struct tension_rule *a,
                        const struct tension_rule *b) {
    if (a->target != b->target || (a->sign == 0) != (b->sign == 0)) return false;
    return a->target != TENSION_STRANDS ||
           memcmp(a->strands.has, b->strands.has, (size_t)parts->frame->strand_count) == 0;
}

/* Whether a line says the same of the same strands already; tells it. */
static bool said_before(struct pattern_parts *parts, const struct tension_rule *rule) {
    for (size_t i = 0; i < parts->pattern->tension_rules.count; i++) {
        const struct tension_rule *before = &parts->pattern->tension_rules.at[i];
        if (!same_target(parts, before, rule)) continue;
        struct report *report = parts->library->report;
        struct finding *finding =
            report_add(report, RULE_line_twice, rule->span,
                       rule->sign == 0 ? "how hard the same strands are pulled is said twice"
                                       : "a change for the same strands is said twice");
        finding_note(report, finding, before->span, "it is first said here");
        finding_help(report, finding,
                     rule->sign == 0 ? "take one of the two out"
                                     : "write one change, the sum of both");
        return true;
    }
    return false;
}

static void take_tension(struct pattern_parts *parts, const struct tree_line *line) {
    struct report *report = parts->library->report;
    for (const struct tree_pull *pull = line->as.tension; pull != NULL; pull = pull->next) {
        struct tension_rule rule = {
            .sign = pull->sign, .span = pull->span, .strands = new_set(parts, pull->span)};
        rule.unit = pull->amount.unit;
        double least = pull->sign == 0 ? 5 * NEWTON_PER_LB : 0;
        bool taken;
        if (pull->sign != 0 && rule.unit == UNIT_PERCENT)
            taken = take_value(report, pull->amount, DIMENSION_PERCENT, "a change of tension", 0,
                               50, &rule.amount);
        else
            taken = take_value(report, pull->amount, DIMENSION_FORCE,
                               pull->sign == 0 ? "the tension" : "a change of tension", least,
                               100 * NEWTON_PER_LB, &rule.amount);
        rule.line = line->span;
        switch (pull->target) {
        case PULL_ALL:
            add_kind(parts, &rule.strands, MAIN);
            add_kind(parts, &rule.strands, CROSS);
            break;
        case PULL_MAINS: add_kind(parts, &rule.strands, MAIN); break;
        case PULL_CROSSES: add_kind(parts, &rule.strands, CROSS); break;
        case PULL_STRANDS: taken &= add_to_set(parts, &rule.strands, &pull->strands); break;
        case PULL_LAST: rule.target = TENSION_LAST_PULLS; break;
        case PULL_OUTER: rule.target = TENSION_OUTER_MAINS; break;
        }
        if (!taken) parts->pattern->tension_damaged = true;
        if (taken && !said_before(parts, &rule))
            *array_add(parts->library->arena, &parts->pattern->tension_rules) = rule;
    }
}

/* ---- what it is made with ---- */

static void take_pieces(struct pattern_parts *parts, const struct tree_line *line) {
    struct intents *intents = &parts->pattern->intents;
    intents->pieces = line->as.pieces.count;
    intents->pieces_span = line->span;
    if (span_given(line->as.pieces.long_side.span))
        intents->long_side = (struct word_side){line->as.pieces.long_side.side, line->span};
}

static const struct string *take_string(struct pattern_parts *parts, struct tree_name name) {
    struct entry *entry = library_find(parts->library, DEFINE_STRING, name);
    return entry != NULL ? entry->string : NULL;
}

static void take_strings(struct pattern_parts *parts, const struct tree_line *line) {
    struct tree_name mains = line->as.string.mains, crosses = line->as.string.crosses;
    parts->pattern->string_span = line->span;
    parts->pattern->mains_string = take_string(parts, mains);
    if (mains.span.start == crosses.span.start) {
        parts->pattern->crosses_string = parts->pattern->mains_string;
        return;
    }
    parts->pattern->crosses_string = take_string(parts, crosses);
    if (parts->pattern->intents.pieces != 1) return;
    struct finding *finding =
        report_add(parts->library->report, RULE_end_of_other_pieces, line->span,
                   "two strings for mains and crosses need two pieces");
    finding_note(parts->library->report, finding, parts->pattern->intents.pieces_span,
                 "this pattern is strung in one piece");
}

/* Names given on the command line stand in for the pattern's own; whether there are such has been
 * judged. */
static void take_command_names(struct pattern_parts *parts, const struct wishes *wishes) {
    struct pattern *pattern = parts->pattern;
    struct entry *string = NULL, *bench = NULL;
    if (wishes->string != NULL)
        string = library_look(parts->library, DEFINE_STRING, wishes->string);
    if (wishes->bench != NULL) bench = library_look(parts->library, DEFINE_BENCH, wishes->bench);
    if (string != NULL) {
        pattern->mains_string = pattern->crosses_string = string->string;
        pattern->string_span = (struct span){0};
    }
    if (bench != NULL) pattern->bench = bench->bench;
}

static void make_ends(struct pattern *pattern) {
    static const enum end_name one[] = {END_LONG, END_SHORT};
    static const enum end_name two[] = {END_LEFT, END_RIGHT, END_CROSS};
    bool single = pattern->intents.pieces == 1;
    pattern->end_count = single ? 2 : 3;
    pattern->string_count = single ? 1 : 2;
    for (int i = 0; i < pattern->end_count; i++) {
        struct end *end = &pattern->ends[i];
        end->name = single ? one[i] : two[i];
        end->string = end->name == END_CROSS ? 1 : 0;
        end->start.hole = end->tie.hole = NO_HOLE;
        end->start.around = end->tie.around = NO_STRAND;
        enum side long_side = pattern->intents.long_side.side;
        switch (end->name) {
        case END_LONG: end->side = long_side; break;
        case END_SHORT: end->side = other_side(long_side); break;
        case END_LEFT: end->side = SIDE_LEFT; break;
        case END_RIGHT: end->side = SIDE_RIGHT; break;
        default: end->side = SIDE_CENTRE; break;
        }
    }
}

static void assume_long_side(struct pattern *pattern) {
    struct intents *intents = &pattern->intents;
    if (intents->pieces != 1 || intents->long_side.side != SIDE_UNSAID) return;
    enum side side = assumed_long_side(pattern->frame);
    intents->long_side.side = pattern->mirrored ? other_side(side) : side;
}

static const struct tree_line *line_of(const struct tree_definition *definition,
                                       enum line_kind kind) {
    for (const struct tree_line *line = definition->lines; line != NULL; line = line->next)
        if (line->kind == kind) return line;
    return NULL;
}

/* Without a pieces line the ends that the legs name tell, so that the legs can be judged all the
 * same. */
static void guess_pieces(struct pattern_parts *parts) {
    struct intents *intents = &parts->pattern->intents;
    intents->pieces = 1;
    intents->pieces_span = parts->definition->name.span;
    for (const struct tree_line *line = parts->definition->lines; line != NULL; line = line->next) {
        if (line->kind != LINE_LEG) continue;
        enum end_name end = line->as.leg.end.end;
        intents->pieces = end == END_LONG || end == END_SHORT ? 1 : 2;
        return;
    }
}

struct pattern *resolve_pattern(struct library *library, const struct tree_definition *definition,
                                const struct wishes *wishes) {
    struct report *report = library->report;
    judge_lines(report, definition, IN_PATTERN);
    struct pattern *pattern = arena_one(library->arena, struct pattern);
    pattern->name = definition->name.text;
    pattern->title = definition->title.text;
    pattern->span = definition->name.span;
    pattern->head_span = definition->head;
    pattern->bench = library->assumed_bench;
    pattern->notes = collect_notes(library->arena, definition->lines);
    struct entry *frame = library_find(library, DEFINE_FRAME, definition->frame);
    pattern->mirrored =
        wants_mirror(library, definition, frame != NULL ? frame->frame : NULL, wishes);
    pattern->side_asked = wishes->mirror || wishes->long_side != SIDE_UNSAID;
    if (pattern->mirrored) definition = mirror_pattern(library->arena, definition);
    struct pattern_parts parts = {.library = library, .definition = definition, .pattern = pattern};
    const struct tree_line *pieces = line_of(definition, LINE_PIECES);
    if (pieces != NULL)
        take_pieces(&parts, pieces);
    else
        guess_pieces(&parts);
    if (pieces == NULL && !definition->damaged) {
        struct finding *finding = report_add(
            report, RULE_line_missing, definition->name.span,
            "pattern %s does not say how many pieces of string it takes", definition->name.text);
        finding_help(report, finding, "write: one piece, long side right; or: two pieces");
    }
    const struct tree_line *bench = line_of(definition, LINE_BENCH);
    struct entry *named =
        bench != NULL ? library_find(library, DEFINE_BENCH, bench->as.name) : NULL;
    if (named != NULL) pattern->bench = named->bench;
    const struct tree_line *string = line_of(definition, LINE_STRING);
    if (string != NULL) take_strings(&parts, string);
    take_command_names(&parts, wishes);
    const struct tree_line *prestretch = line_of(definition, LINE_PRESTRETCH);
    if (prestretch != NULL)
        take_value(report, prestretch->as.number, DIMENSION_PERCENT, "the pre-stretch", 0, 30,
                   &pattern->prestretch);
    if (frame == NULL || !frame->frame->mapped) return NULL;
    pattern->frame = parts.frame = frame->frame;
    assume_long_side(pattern);
    make_ends(pattern);
    resolve_intents(&parts);
    for (const struct tree_line *line = definition->lines; line != NULL; line = line->next)
        if (line->kind == LINE_TENSION) take_tension(&parts, line);
    pattern->legs_sound = resolve_legs(&parts) && !definition->damaged;
    return pattern;
}
