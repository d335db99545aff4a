/* What a pattern insists on: its intents, from their lines. Legs are resolved in legs.c. */
#include "resolve/pattern.h"

#include "ground/limits.h"
#include "resolve/values.h"

/* ---- who strings what ---- */

/* Strands for one end; the first line that names a strand counts for it. NO_END: there is none of
 * that name. */
static int insist_on_end(struct pattern_parts *parts, const struct tree_word_end *by,
                         const struct strand_set *set, struct span span) {
    struct report *report = parts->library->report;
    struct pattern *pattern = parts->pattern;
    int end = take_end(parts, by);
    if (end == NO_END) return NO_END;
    if (pattern->intents.by == NULL)
        pattern->intents.by =
            arena_many(parts->library->arena, struct for_end, parts->frame->strand_count + 1);
    for (int s = 0; s < parts->frame->strand_count; s++) {
        struct for_end *for_end = &pattern->intents.by[s];
        if (!set->has[s]) continue;
        if (!span_given(for_end->span)) {
            *for_end = (struct for_end){end, span};
        } else if (for_end->end != end) {
            struct finding *finding =
                report_add(report, RULE_intents_clash, span, "%s is to be strung by two ends",
                           parts->frame->strands[s].name);
            finding_note(report, finding, for_end->span, "the other line");
            return end;
        }
    }
    return end;
}

/* ---- crosses and mains ---- */

static void take_crosses(struct pattern_parts *parts, const struct tree_line *line) {
    struct intents *intents = &parts->pattern->intents;
    intents->crosses_from = (struct word_place){line->as.crosses.from.place, line->span};
    if (line->as.crosses.skip == NULL) return;
    intents->skip = new_set(parts, line->span);
    for (const struct tree_strands_list *s = line->as.crosses.skip; s != NULL; s = s->next) {
        if (s->strands.first.kind == MAIN) {
            report_add(parts->library->report, RULE_strand_kind, s->strands.span,
                       "a main cannot be skipped here: this line is about crosses");
            continue;
        }
        add_to_set(parts, &intents->skip, &s->strands);
    }
}

/* A mains line without strands is a constraint; it may stand once. */
static void take_mains_intent(struct pattern_parts *parts, const struct tree_line *line,
                              const struct tree_option *ahead, const struct tree_word_end *begins) {
    struct report *report = parts->library->report;
    struct intents *intents = &parts->pattern->intents;
    if (span_given(intents->mains_from.span) &&
        intents->mains_from.place != line->as.mains.from.place) {
        struct finding *finding = report_add(report, RULE_intents_clash, line->span,
                                             "the mains begin at the head and at the throat");
        finding_note(report, finding, intents->mains_from.span, "the other line");
        return;
    }
    if (!span_given(intents->mains_from.span))
        intents->mains_from = (struct word_place){line->as.mains.from.place, line->span};
    if (begins != NULL && span_given(intents->begins_span) && intents->begins != begins->end) {
        struct finding *finding = report_add(report, RULE_intents_clash, begins->span,
                                             "two ends are to begin the mains: %s and %s",
                                             end_word(begins->end), end_word(intents->begins));
        finding_note(report, finding, intents->begins_span, "the other line");
    } else if (begins != NULL) {
        intents->begins = begins->end;
        intents->begins_span = begins->span;
    }
    for (const struct tree_mains_part *p = line->as.mains.parts; p != NULL; p = p->next)
        if (p->kind == MAINS_STRANDS) return;
    if (ahead == NULL) return;
    if (intents->ahead_given) {
        struct finding *finding = report_add(report, RULE_line_twice, ahead->span,
                                             "how far an end may be pulled ahead is said twice");
        finding_note(report, finding, intents->ahead_span, "it is first said here");
        return;
    }
    intents->ahead_given = true;
    intents->ahead_span = ahead->span;
    take_ahead(parts, ahead, &intents->ahead_first, &intents->ahead_then);
}

bool take_ahead(struct pattern_parts *parts, const struct tree_option *option, int *first,
                int *then) {
    struct report *report = parts->library->report;
    const char *what = option->kind == OPTION_PULL_AHEAD ? "the number of pulls ahead"
                                                         : "the number of strands threaded ahead";
    if (!take_count(report, option->first, what, 1, LIMIT_AHEAD, first)) return false;
    *then = *first;
    if (!span_given(option->then.span)) return true;
    return take_count(report, option->then, what, 1, LIMIT_AHEAD, then);
}

static void take_mains(struct pattern_parts *parts, const struct tree_line *line) {
    const struct tree_option *ahead = NULL;
    const struct tree_word_end *begins = NULL;
    for (const struct tree_mains_part *p = line->as.mains.parts; p != NULL; p = p->next) {
        if (p->kind == MAINS_OPTION && p->option.kind == OPTION_PULL_AHEAD) ahead = &p->option;
        if (p->kind == MAINS_FIRST) begins = &p->first;
    }
    take_mains_intent(parts, line, ahead, begins);
}

/* ---- what waits, and what is asked of loops, clamps and the finish ---- */

/* The strands of one line wait, and may be for one end alone. */
static void take_hold(struct pattern_parts *parts, const struct tree_line *line) {
    struct strand_set set = new_set(parts, line->span);
    for (const struct tree_strands_list *s = line->as.hold.strands; s != NULL; s = s->next)
        add_to_set(parts, &set, &s->strands);
    *array_add(parts->library->arena, &parts->pattern->intents.holds) = set;
    if (span_given(line->as.hold.by.span))
        insist_on_end(parts, &line->as.hold.by, &set, line->span);
}

static void take_around(struct pattern_parts *parts, const struct tree_line *line) {
    struct intents *intents = &parts->pattern->intents;
    intents->around_span = line->span;
    if (intents->pieces == 1) return;
    struct report *report = parts->library->report;
    struct finding *finding =
        report_add(report, RULE_intents_clash, line->span,
                   "around the world goes with one piece, and this pattern takes two");
    finding_note(report, finding, intents->pieces_span, "the other line");
}

static void take_clamps_most(struct pattern_parts *parts, const struct tree_line *line,
                             enum clamp_kind kind) {
    struct intents *intents = &parts->pattern->intents;
    if (take_count(parts->library->report, line->as.number, "the number of clamps", 0, LIMIT_CLAMPS,
                   &intents->clamps_most[kind]))
        intents->clamps_span[kind] = line->span;
}

/* A loop between neighbouring holes is some millimetres long, and none longer than half the hoop.
 */
static const double LEAST_LOOP = 5, MOST_LOOP = 1000;

static void take_loops(struct pattern_parts *parts, const struct tree_line *line) {
    struct intents *intents = &parts->pattern->intents;
    if (take_value(parts->library->report, line->as.number, DIMENSION_LENGTH,
                   "the longest loop that is allowed", LEAST_LOOP, MOST_LOOP, &intents->loops_most))
        intents->loops_span = line->span;
}

/* Those named come first, in their order; the others follow in the usual one. */
static void take_aims(struct pattern_parts *parts, const struct tree_line *line) {
    struct intents *intents = &parts->pattern->intents;
    struct span named[AIMS] = {{0}};
    int count = 0;
    intents->aims_span = line->span;
    for (const struct tree_aim *aim = line->as.aims; aim != NULL; aim = aim->next) {
        if (span_given(named[aim->aim])) {
            struct report *report = parts->library->report;
            struct finding *finding = report_add(report, RULE_line_twice, aim->span,
                                                 "%s is named twice", aim_word(aim->aim));
            finding_note(report, finding, named[aim->aim], "it is first named here");
            continue;
        }
        named[aim->aim] = aim->span;
        intents->aims[count++] = aim->aim;
    }
    for (int aim = 0; aim < AIMS; aim++)
        if (!span_given(named[aim])) intents->aims[count++] = (enum aim)aim;
}

static void take_intent(struct pattern_parts *parts, const struct tree_line *line) {
    struct intents *intents = &parts->pattern->intents;
    switch (line->kind) {
    case LINE_CROSSES:
        if (!span_given(intents->crosses_from.span)) take_crosses(parts, line);
        break;
    case LINE_MAINS: take_mains(parts, line); break;
    case LINE_HOLD: take_hold(parts, line); break;
    case LINE_AROUND: take_around(parts, line); break;
    case LINE_LOOPS: take_loops(parts, line); break;
    case LINE_FIXED_MOST: take_clamps_most(parts, line, CLAMP_FIXED); break;
    case LINE_STARTING_MOST: take_clamps_most(parts, line, CLAMP_STARTING); break;
    case LINE_FINISH:
        intents->finish_at = (struct word_place){line->as.finish.place, line->span};
        break;
    case LINE_FIND: intents->find_span = line->span; break;
    case LINE_AIMS: take_aims(parts, line); break;
    default: break;
    }
}

/* "crosses from head by long": those that are neither skipped nor held. */
static void take_crosses_by(struct pattern_parts *parts, const struct tree_line *line) {
    if (!span_given(line->as.crosses.by.span)) return;
    struct intents *intents = &parts->pattern->intents;
    struct strand_set set = new_set(parts, line->span);
    for (int s = parts->frame->main_count; s < parts->frame->strand_count; s++) {
        bool skipped = intents->skip.has != NULL && intents->skip.has[s];
        set.has[s] = !skipped && !is_held(parts->pattern, s);
    }
    intents->crosses_by = insist_on_end(parts, &line->as.crosses.by, &set, line->span);
}

void resolve_intents(struct pattern_parts *parts) {
    const struct tree_line *lines = parts->definition->lines;
    parts->pattern->intents.crosses_by = NO_END;
    for (int aim = 0; aim < AIMS; aim++)
        parts->pattern->intents.aims[aim] = (enum aim)aim;
    for (const struct tree_line *line = lines; line != NULL; line = line->next)
        take_intent(parts, line);
    for (const struct tree_line *line = lines; line != NULL; line = line->next)
        if (line->kind == LINE_CROSSES) take_crosses_by(parts, line);
}
