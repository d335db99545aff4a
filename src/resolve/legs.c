/* Legs from their lines: ends and strands bound to the pieces and the frame. */
#include "resolve/pattern.h"

#include "ground/limits.h"

int take_end(struct pattern_parts *parts, const struct tree_word_end *word) {
    const struct pattern *pattern = parts->pattern;
    int end = pattern_end(pattern, word->end);
    if (end != NO_END) return end;
    struct report *report = parts->library->report;
    bool one = pattern->intents.pieces == 1;
    unsigned bit = 1u << word->end;
    if (parts->ends_told & bit) return NO_END;
    parts->ends_told |= bit;
    struct finding *finding =
        report_add(report, RULE_end_of_other_pieces, word->span, "there is no %s end in %s",
                   end_word(word->end), one ? "one piece" : "two pieces");
    finding_note(
        report, finding, pattern->intents.pieces_span, "%s",
        one ? "one piece has two ends: long and short"
            : "two pieces have three ends: left and right on the mains, cross on the crosses");
    finding_help(report, finding, "name one of these, or write: %s",
                 one ? "two pieces" : "one piece, long side right");
    return NO_END;
}

/* The strands of a run for an end: a main without a side lies on the end's own. */
static bool take_strands(struct pattern_parts *parts, const struct tree_strands *strands,
                         enum side own, struct run *run) {
    struct report *report = parts->library->report;
    if (!range_sound(parts, strands)) return false;
    int count = range_size(strands), before = parts->named;
    parts->named += count;
    if (before > LIMIT_LEG_STRANDS) return false;
    if (parts->named > LIMIT_LEG_STRANDS) {
        report_add(report, RULE_too_many, strands->span,
                   "the legs of this pattern name more than %d strands, repeats counted",
                   LIMIT_LEG_STRANDS);
        return false;
    }
    enum side side = strands->side != SIDE_UNSAID ? strands->side : own;
    bool needs_side =
        strands->first.kind == MAIN && (strands->first.number > 0 || strands->last.number > 0);
    if (needs_side && side == SIDE_CENTRE) {
        struct finding *finding =
            report_add(report, RULE_side_due, strands->span,
                       "the cross end lies on no side: say which side this main is on");
        finding_help(report, finding, "write left or right before it");
        return false;
    }
    run->strands = arena_many(parts->library->arena, int, count);
    int step = strands->last.number >= strands->first.number ? 1 : -1;
    for (int i = 0, n = strands->first.number; i < count; i++, n += step) {
        int strand = find_strand(parts, strands, side, n);
        if (strand == NO_STRAND) return false;
        run->strands[run->count++] = strand;
    }
    return true;
}

static bool take_item(struct pattern_parts *parts, struct leg *leg, int end,
                      const struct tree_item *tree) {
    struct report *report = parts->library->report;
    struct leg_item item = {.span = tree->span};
    bool sound = true;
    int ignored;
    switch (tree->kind) {
    case ITEM_OPTION:
        if (tree->option.kind == OPTION_THREAD_AHEAD && leg->thread_ahead > 0) {
            report_add(report, RULE_line_twice, tree->option.span,
                       "how far this leg threads ahead is said twice");
            return false;
        }
        if (tree->option.kind == OPTION_THREAD_AHEAD)
            return take_ahead(parts, &tree->option, &leg->thread_ahead, &ignored);
        struct finding *finding = report_add(report, RULE_option_misplaced, tree->option.span,
                                             "one end alone cannot be pulled ahead of another");
        finding_help(
            report, finding,
            "pulls ahead are said on the mains line: mains from head, ... pull 3 ahead then 2");
        return false;
    case ITEM_STRANDS:
        item.kind = LEG_RUN;
        item.run = (struct run){.verb = tree->verb == VERB_BOTH     ? DO_BOTH
                                        : tree->verb == VERB_THREAD ? DO_THREAD
                                                                    : DO_PULL,
                                .from_side = tree->from_side,
                                .from_place = tree->from_place,
                                .from_span = tree->from_span,
                                .first = tree->first == WEAVE_UNSAID ? START_UNSTATED
                                         : tree->first == WEAVE_OVER ? START_OVER
                                                                     : START_UNDER,
                                .first_span = tree->first_span};
        if (!take_strands(parts, &tree->strands, parts->pattern->ends[end].side, &item.run))
            return false;
        if (tree->verb == VERB_PULL &&
            (span_given(tree->from_span) || span_given(tree->first_span))) {
            report_add(
                report, RULE_option_misplaced,
                span_given(tree->from_span) ? tree->from_span : tree->first_span,
                "this strand is only pulled here: where it enters and what it passes first is "
                "said where it is threaded");
            item.run.doubtful = true; /* it is pulled all the same */
            sound = false;
        }
        break;
    case ITEM_START:
    case ITEM_TIE:
        item.kind = tree->kind == ITEM_TIE ? LEG_TIE : LEG_START;
        item.clamped = tree->kind == ITEM_START && tree->start == START_CLAMP;
        item.number = tree->hole.number;
        item.side = tree->hole.side;
        item.place = tree->hole.place;
        break;
    }
    *array_add(parts->library->arena, &leg->items) = item;
    return sound;
}

static bool take_leg(struct pattern_parts *parts, const struct tree_line *line) {
    int end = take_end(parts, &line->as.leg.end);
    if (end == NO_END) return false;
    struct leg leg = {.end = line->as.leg.end.end, .span = line->span};
    bool sound = true;
    for (const struct tree_item *item = line->as.leg.items; item != NULL; item = item->next)
        sound &= take_item(parts, &leg, end, item);
    *array_add(parts->library->arena, &parts->pattern->legs) = leg;
    return sound;
}

/* "mains from head, M1..M6 on each side": a leg of both ends of the mains string, in turn. */
static bool take_mains_leg(struct pattern_parts *parts, const struct tree_line *line) {
    struct report *report = parts->library->report;
    struct pattern *pattern = parts->pattern;
    const struct tree_mains_part *strands = NULL, *ahead = NULL, *thread = NULL, *first = NULL;
    bool sound = true;
    for (const struct tree_mains_part *p = line->as.mains.parts; p != NULL; p = p->next) {
        const struct tree_mains_part **slot = p->kind == MAINS_STRANDS              ? &strands
                                              : p->kind == MAINS_FIRST              ? &first
                                              : p->option.kind == OPTION_PULL_AHEAD ? &ahead
                                                                                    : &thread;
        if (*slot != NULL) {
            struct finding *finding =
                report_add(report, RULE_line_twice, p->span, "this is said twice in one line");
            finding_note(report, finding, (*slot)->span, "it is first said here");
            sound = false;
        }
        *slot = p;
    }
    bool second = pattern->mirrored && pattern->intents.pieces == 2;
    int begins = first != NULL ? take_end(parts, &first->first) : second ? 1 : 0;
    if (begins == NO_END) return false;
    if (pattern->ends[begins].string != 0) {
        report_add(report, RULE_end_of_other_pieces, first->span,
                   "the cross end strings no mains: left or right begins them");
        return false;
    }
    if (strands == NULL) return sound;
    if (strands->strands.side != SIDE_UNSAID) {
        report_add(report, RULE_side_misplaced, strands->strands.span,
                   "`on each side` means both: the run has no side of its own");
        return false;
    }
    if (strands->strands.first.kind == CROSS || strands->strands.last.kind == CROSS) {
        report_add(report, RULE_strand_kind, strands->strands.span,
                   "crosses do not lie on a side: this line is about mains");
        return false;
    }
    if (strands->strands.first.number == 0 || strands->strands.last.number == 0) {
        struct finding *finding =
            report_add(report, RULE_centre_main, strands->strands.span,
                       "M0 lies on no side: an end strings it in a leg of its own");
        finding_help(report, finding, "write a line before this one, such as: short M0 from head");
        return false;
    }
    int other = other_end(pattern, begins);
    struct leg leg = {.both = true,
                      .end = pattern->ends[begins].name,
                      .other = pattern->ends[other].name,
                      .ahead_first = 1,
                      .ahead_then = 1,
                      .span = line->span};
    if (ahead != NULL) {
        sound &= take_ahead(parts, &ahead->option, &leg.ahead_first, &leg.ahead_then);
        leg.ahead_span = ahead->option.span;
    }
    int ignored;
    if (thread != NULL) sound &= take_ahead(parts, &thread->option, &leg.thread_ahead, &ignored);
    int ends[] = {begins, other};
    for (int i = 0; i < 2; i++) {
        struct leg_item item = {.kind = LEG_RUN, .span = strands->span};
        item.run.first = START_UNSTATED;
        sound &= take_strands(parts, &strands->strands, pattern->ends[ends[i]].side, &item.run);
        *array_add(parts->library->arena, &leg.items) = item;
        if (!sound) return false;
    }
    *array_add(parts->library->arena, &pattern->legs) = leg;
    return sound;
}

bool resolve_legs(struct pattern_parts *parts) {
    bool sound = true;
    for (const struct tree_line *line = parts->definition->lines; line != NULL; line = line->next) {
        if (line->kind == LINE_LEG) sound &= take_leg(parts, line);
        if (line->kind == LINE_MAINS) sound &= take_mains_leg(parts, line);
    }
    return sound;
}
