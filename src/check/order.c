/* The order: what the author insists on, held against what the legs do; what the maker asks for;
 * clamps in the way. */
#include "check/check.h"

#include "bench/plan.h"

#include <math.h>
#include <string.h>

static int strand_of(const struct subject *s, const struct act *act) {
    return s->pattern->ends[act->end].passes.at[act->pass].strand;
}

static bool is_skipped(const struct subject *s, int strand) {
    return s->pattern->intents.skip.has != NULL && s->pattern->intents.skip.has[strand];
}

/* Pulls of crosses that go against an order: the first of them and the cross pulled before it. */
struct against {
    const struct act *first; /* NULL where all keep to it */
    int before;
    int count;
};

static struct against against_order(const struct subject *s, enum place place) {
    struct against against = {.before = NO_STRAND};
    int lasts[] = {NO_STRAND, NO_STRAND}; /* of those that are held, and of the others */
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        if (act->kind != ACT_PULL) continue;
        int strand = strand_of(s, act);
        if (s->frame->strands[strand].kind != CROSS || is_skipped(s, strand)) continue;
        int *before = &lasts[is_held(s->pattern, strand)], last = *before;
        bool wrong = last != NO_STRAND && (place == PLACE_HEAD ? strand < last : strand > last);
        if (wrong && against.count++ == 0) {
            against.first = act;
            against.before = last;
        }
        *before = strand;
    }
    return against;
}

void check_crosses_order(const struct subject *s) {
    const struct word_place *from = &s->pattern->intents.crosses_from;
    if (from->place == PLACE_UNSAID) return;
    struct against against = against_order(s, from->place);
    if (against.first == NULL) return;
    enum place other = from->place == PLACE_HEAD ? PLACE_THROAT : PLACE_HEAD;
    const char *name = s->frame->strands[strand_of(s, against.first)].name;
    struct finding *finding =
        report_add(s->report, RULE_crosses_order, against.first->span,
                   "%s is pulled after %s: that is not from the %s", name,
                   s->frame->strands[against.before].name, place_word(from->place));
    finding_note(s->report, finding, from->span, "this line asks for crosses from the %s",
                 place_word(from->place));
    if (against_order(s, other).count < against.count)
        finding_help(s->report, finding,
                     "most of them are pulled from the %s: if that is meant, write crosses from %s",
                     place_word(other), place_word(other));
    else
        finding_help(s->report, finding,
                     "pull them in order, or name the one that may wait: crosses from %s, skip %s",
                     place_word(from->place), name);
}

void check_maker_order(const struct subject *s) {
    const struct word_place *asked = &s->frame->crosses_from;
    if (asked->place == PLACE_UNSAID) return;
    struct against against = against_order(s, asked->place);
    if (against.first == NULL) return;
    struct finding *finding = report_add(
        s->report, RULE_maker_order, against.first->span,
        "%s is pulled after %s, but the maker of this frame asks for crosses from the %s",
        s->frame->strands[strand_of(s, against.first)].name, s->frame->strands[against.before].name,
        place_word(asked->place));
    finding_note(s->report, finding, asked->span, "this line of the frame");
    finding_help(s->report, finding, "the maker's instructions come first");
}

/* In tennis the trade does not string the head, the weaker part of the hoop, last (common
 * practice); elsewhere crosses from the throat are usual too. */
void check_crosses_from_throat(const struct subject *s) {
    const struct intents *intents = &s->pattern->intents;
    bool tennis = s->frame->sport != NULL && strcmp(s->frame->sport, "tennis") == 0;
    if (!tennis || s->frame->crosses_from.place != PLACE_UNSAID) return;
    struct against head = against_order(s, PLACE_HEAD);
    if (head.first == NULL || head.count <= against_order(s, PLACE_THROAT).count) return;
    bool asked = span_given(intents->crosses_from.span);
    struct finding *finding = report_add(
        s->report, RULE_crosses_from_throat, asked ? intents->crosses_from.span : head.first->span,
        "the crosses are strung from the throat, so the head is loaded last, and in tennis it is "
        "held for the weaker part of the hoop");
    finding_help(s->report, finding,
                 "string them from the head; where the maker of the frame asks for the throat, say "
                 "so in the frame: crosses from throat");
}

void check_mains_place(const struct subject *s) {
    const struct word_place *from = &s->pattern->intents.mains_from;
    if (!span_given(from->span)) return;
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct end *end = &s->pattern->ends[e];
        if (end->string != 0 || end->passes.count == 0) continue;
        const struct pass *first = &end->passes.at[0];
        const struct strand *strand = &s->frame->strands[first->strand];
        if (strand->kind != MAIN || s->frame->holes[first->enter].place == from->place) continue;
        struct finding *finding =
            report_add(s->report, RULE_mains_place,
                       span_given(first->from_span) ? first->from_span : first->thread_span,
                       "the %s end enters %s, its first main, at the %s", end_word(end->name),
                       strand->name, place_word(s->frame->holes[first->enter].place));
        finding_note(s->report, finding, from->span, "this line asks for mains from the %s",
                     place_word(from->place));
    }
}

void check_pulls_ahead(const struct subject *s) {
    const struct intents *intents = &s->pattern->intents;
    if (!intents->ahead_given) return;
    struct lead lead;
    if (!lead_beyond(s->pattern, intents->ahead_first, intents->ahead_then, &lead)) return;
    const struct end *end = &s->pattern->ends[lead.act->end];
    const char *other = end_word(s->pattern->ends[other_end(s->pattern, lead.act->end)].name);
    struct finding *finding =
        report_add(s->report, RULE_pulls_ahead, lead.act->span,
                   "with %s the %s end is %d mains ahead of the %s end; %d are allowed here",
                   s->frame->strands[strand_of(s, lead.act)].name, end_word(end->name), lead.lead,
                   other, lead.limit);
    finding_note(s->report, finding, intents->ahead_span, "by this line");
    finding_help(s->report, finding, "let the %s end pull before", other);
}

/* Mains pulled, by side and by end. */
struct mains_pulled {
    int side[2], end[3];
};

static int lead_of(const int *pulled, int one, int other) { return pulled[one] - pulled[other]; }

/* Counts a pull of a main that lies on a side; its strand, or NO_STRAND. */
static int count_main(const struct subject *s, const struct act *act, struct mains_pulled *pulled) {
    if (act->kind != ACT_PULL || s->pattern->ends[act->end].string != 0) return NO_STRAND;
    int strand = strand_of(s, act);
    const struct strand *main = &s->frame->strands[strand];
    if (main->kind != MAIN || main->side == SIDE_CENTRE) return NO_STRAND;
    pulled->side[main->side == SIDE_LEFT]++;
    pulled->end[act->end]++;
    return strand;
}

/* By how many mains an end leads the other at the most. */
static int greatest_lead(const struct subject *s) {
    struct mains_pulled pulled = {0};
    int greatest = 0;
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        if (count_main(s, act, &pulled) == NO_STRAND) continue;
        int lead = lead_of(pulled.end, act->end, other_end(s->pattern, act->end));
        if (lead > greatest) greatest = lead;
    }
    return greatest;
}

/* Numbers that say nothing, or the wrong way round. */
static void judge_ahead(const struct subject *s, int first, int then, struct span span) {
    int mains = 0;
    for (int i = 0; i < s->frame->main_count; i++)
        if (s->frame->strands[i].number > mains) mains = s->frame->strands[i].number;
    if (!span_given(span)) return;
    if (first > USUAL_LEAD && first >= mains) {
        struct finding *finding =
            report_add(s->report, RULE_ahead_odd, span,
                       "%d ahead lets one side be pulled wholly before the other: this frame has "
                       "%d mains on a side",
                       first, mains);
        finding_help(s->report, finding,
                     "one side pulled far ahead bends the frame: common practice is 1 to 3");
    } else if (then > first) {
        struct finding *finding = report_add(
            s->report, RULE_ahead_odd, span,
            "an end may lead by %d at first and by more, %d, after the first change", first, then);
        finding_help(s->report, finding, "the first number is the larger: pull %d ahead then %d",
                     then, first);
        finding_fix(s->report, finding, false, span, "pull %d ahead then %d", then, first);
    }
}

void check_ahead_odd(const struct subject *s) {
    const struct intents *intents = &s->pattern->intents;
    if (intents->ahead_given)
        judge_ahead(s, intents->ahead_first, intents->ahead_then, intents->ahead_span);
    for (size_t i = 0; i < s->pattern->legs.count; i++) {
        const struct leg *leg = &s->pattern->legs.at[i];
        if (leg->both) judge_ahead(s, leg->ahead_first, leg->ahead_then, leg->ahead_span);
    }
}

/* How far one side is pulled beyond the other where no line says how far it may be: common practice
 * is three mains at the most. */
void check_lead_large(const struct subject *s) {
    const struct pattern *pattern = s->pattern;
    int allowed = USUAL_LEAD;
    if (pattern->intents.ahead_given) return;
    for (size_t i = 0; i < pattern->legs.count; i++) {
        const struct leg *leg = &pattern->legs.at[i];
        if (leg->both && leg->ahead_first > allowed) allowed = leg->ahead_first;
    }
    struct mains_pulled pulled = {0};
    for (size_t i = 0; i < pattern->acts.count; i++) {
        const struct act *act = &pattern->acts.at[i];
        int strand = count_main(s, act, &pulled);
        if (strand == NO_STRAND) continue;
        enum side side = s->frame->strands[strand].side;
        int left = side == SIDE_LEFT, lead = lead_of(pulled.side, left, !left);
        if (lead <= allowed) continue;
        struct finding *finding = report_add(
            s->report, RULE_lead_large, act->span,
            "with %s the %s side is %d mains ahead of the %s side: one side pulled far "
            "ahead bends the frame",
            s->frame->strands[strand].name, side_word(side), lead, side_word(other_side(side)));
        bool line = span_given(pattern->intents.mains_from.span);
        bool throat = pattern->ends[act->end].passes.at[0].from_place == PLACE_THROAT;
        int greatest = greatest_lead(s);
        if (greatest > allowed + 1)
            finding_help(s->report, finding, "let the %s side be pulled before",
                         side_word(other_side(side)));
        else
            finding_help(
                s->report, finding,
                "let the %s side be pulled before; where so much is meant, %s pull %d ahead",
                side_word(other_side(side)),
                line     ? "say so in the mains line:"
                : throat ? "add the line: mains from throat,"
                         : "add the line: mains from head,",
                greatest);
        return;
    }
}

void check_begins_other(const struct subject *s) {
    const struct intents *intents = &s->pattern->intents;
    if (!span_given(intents->begins_span)) return;
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        if (act->kind != ACT_PULL || s->pattern->ends[act->end].string != 0) continue;
        const struct strand *strand = &s->frame->strands[strand_of(s, act)];
        if (strand->kind != MAIN || strand->number == 0) continue;
        if (s->pattern->ends[act->end].name == intents->begins) return;
        struct finding *finding =
            report_add(s->report, RULE_begins_other, act->span,
                       "the %s end pulls the first main, but the %s end is to begin",
                       end_word(s->pattern->ends[act->end].name), end_word(intents->begins));
        finding_note(s->report, finding, intents->begins_span, "so it is said here");
        return;
    }
}

/* The long side is where the first main of the long end lies. */
void check_long_side_other(const struct subject *s) {
    const struct word_side *asked = &s->pattern->intents.long_side;
    int e = pattern_end(s->pattern, END_LONG);
    if (e == NO_END || !span_given(asked->span)) return;
    const struct end *end = &s->pattern->ends[e];
    for (size_t i = 0; i < end->passes.count; i++) {
        const struct strand *strand = &s->frame->strands[end->passes.at[i].strand];
        if (strand->kind != MAIN || strand->side == SIDE_CENTRE) continue;
        if (strand->side == asked->side) return;
        struct finding *finding = report_add(
            s->report, RULE_long_side_other, end->passes.at[i].thread_span,
            "the long end begins with %s, on the %s side", strand->name, side_word(strand->side));
        finding_note(s->report, finding, asked->span, "this line puts the long side on the %s",
                     side_word(asked->side));
        return;
    }
}

/* ---- what waits, and whose it is ---- */

void check_hold_early(const struct subject *s) {
    const struct act *early = NULL;
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        if (act->kind != ACT_PULL) continue;
        int strand = strand_of(s, act);
        if (early == NULL && is_held(s->pattern, strand)) early = act;
        if (early == NULL || is_held(s->pattern, strand)) continue;
        int held = strand_of(s, early);
        struct finding *finding = report_add(
            s->report, RULE_hold_early, early->span, "%s is to wait, and is pulled before %s",
            s->frame->strands[held].name, s->frame->strands[strand].name);
        for (size_t k = 0; k < s->pattern->intents.holds.count; k++)
            if (s->pattern->intents.holds.at[k].has[held])
                finding_note(s->report, finding, s->pattern->intents.holds.at[k].span,
                             "by this line it comes after all that is not held");
        finding_note(s->report, finding, act->span, "%s is pulled here",
                     s->frame->strands[strand].name);
        finding_help(s->report, finding, "pull it later, or hold %s too",
                     s->frame->strands[strand].name);
        return;
    }
}

void check_end_other(const struct subject *s) {
    const struct for_end *by = s->pattern->intents.by;
    bool *others = arena_many(s->arena, bool, s->frame->strand_count + 1);
    const struct pass *first = NULL;
    int line = NO_STRAND, owner = NO_END;
    for (int strand = 0; by != NULL && strand < s->frame->strand_count; strand++) {
        int e = s->pattern->end_of[strand];
        if (!span_given(by[strand].span) || e == NO_END || e == by[strand].end) continue;
        const struct pass *pass = &s->pattern->ends[e].passes.at[s->pattern->pass_of[strand]];
        if (first == NULL) {
            first = pass;
            line = strand;
            owner = e;
        }
        others[strand] = pass->thread_span.start == first->thread_span.start;
    }
    if (first == NULL) return;
    int count = 0;
    for (int i = 0; i < s->frame->strand_count; i++)
        count += others[i];
    struct finding *finding =
        report_add(s->report, RULE_end_other, first->thread_span, "%s %s strung by the %s end",
                   strand_words(s->frame, s->arena, others), count == 1 ? "is" : "are",
                   end_word(s->pattern->ends[owner].name));
    finding_note(s->report, finding, by[line].span, "this line leaves %s to the %s end",
                 count == 1 ? "it" : "them", end_word(s->pattern->ends[by[line].end].name));
}

static int outermost_main(const struct subject *s, enum side side) {
    int outermost = NO_STRAND;
    for (int i = 0; i < s->frame->main_count; i++)
        if (s->frame->strands[i].side == side &&
            (outermost == NO_STRAND ||
             s->frame->strands[i].number > s->frame->strands[outermost].number))
            outermost = i;
    return outermost;
}

/* The hole by which the outermost main of a side is entered, where it is pulled after a cross. */
static int entered_late(const struct subject *s, enum side side) {
    int outermost = outermost_main(s, side), enter = NO_HOLE;
    bool crosses = false;
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        if (act->kind != ACT_PULL) continue;
        int strand = strand_of(s, act);
        crosses |= s->frame->strands[strand].kind == CROSS;
        if (strand == outermost && crosses)
            enter = s->pattern->ends[act->end].passes.at[act->pass].enter;
    }
    return enter;
}

void check_around_other(const struct subject *s) {
    const struct intents *intents = &s->pattern->intents;
    if (!span_given(intents->around_span)) return;
    int left = entered_late(s, SIDE_LEFT), right = entered_late(s, SIDE_RIGHT);
    bool late = left != NO_HOLE && right != NO_HOLE;
    if (late && s->frame->holes[left].place != s->frame->holes[right].place) return;
    struct finding *finding = report_add(s->report, RULE_around_other, intents->around_span,
                                         late ? "both outermost mains are entered at the %s"
                                              : "%s is strung before the crosses",
                                         late              ? place_word(s->frame->holes[left].place)
                                         : left == NO_HOLE ? "the outermost main on the left"
                                                           : "the outermost main on the right");
    finding_help(s->report, finding,
                 "around the world keeps the outermost main of each side until crosses stand, and "
                 "strings one of them up and the other down");
}

/* One main a side is what around the world keeps back, two are rare; crosses in a frame with fewer
 * mains than that load the hoop across while little holds it lengthwise. */
enum { USUAL_LATE = 4 };

/* Mains that are written can be late by a cross that was found: it was put where it had to go. */
static const char *late_help(const struct subject *s, const struct act *main,
                             const struct act *cross) {
    bool main_found = was_found(s->pattern, main->span);
    if (!main_found && !was_found(s->pattern, cross->span))
        return "pull the mains first: crosses in a frame with few mains bend the hoop; hold "
               "those that are meant to wait";
    if (s->pattern->intents.aims[0] != AIM_LATE_MAINS)
        return "there may be a way with fewer: the aims put something else first";
    if (main_found)
        return "there is no way with fewer for what the pattern insists on: what may help is the "
               "other place for the crosses, for the mains, or to finish at";
    return format(s->arena,
                  "%s was found, and with the legs that are written there is no way with fewer: "
                  "leave mains to be found too, or allow longer loops",
                  s->frame->strands[strand_of(s, cross)].name);
}

/* What the pattern keeps for later. */
static bool waits(const struct subject *s, int strand) {
    bool around = span_given(s->pattern->intents.around_span);
    return is_held(s->pattern, strand) || (around && (strand == outermost_main(s, SIDE_LEFT) ||
                                                      strand == outermost_main(s, SIDE_RIGHT)));
}

void check_mains_late(const struct subject *s) {
    bool *late = arena_many(s->arena, bool, s->frame->strand_count + 1);
    const struct act *cross = NULL, *first = NULL;
    int count = 0;
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        if (act->kind != ACT_PULL) continue;
        int strand = strand_of(s, act);
        bool main = s->frame->strands[strand].kind == MAIN;
        if (!main && cross == NULL) cross = act;
        if (!main || cross == NULL || waits(s, strand)) continue;
        if (count++ == 0) first = act;
        late[strand] = true;
    }
    if (count <= USUAL_LATE) return;
    struct finding *finding =
        report_add(s->report, RULE_mains_late, first->span, "%d mains are pulled after crosses: %s",
                   count, strand_words(s->frame, s->arena, late));
    finding_note(s->report, finding, cross->span, "%s is the first cross pulled",
                 s->frame->strands[strand_of(s, cross)].name);
    finding_help(s->report, finding, "%s", late_help(s, first, cross));
}

/* ---- clamps in the way ---- */

static double distance_to_segment(struct point p, struct point a, struct point b) {
    double length = hypot(b.x - a.x, b.y - a.y);
    double along = ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length;
    along = fmin(fmax(along, 0), length);
    return hypot(p.x - a.x - along * (b.x - a.x) / length,
                 p.y - a.y - along * (b.y - a.y) / length);
}

void check_clamp_in_the_way(const struct subject *s) {
    const struct pattern *pattern = s->pattern;
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *on = &pattern->moves.at[i];
        if (on->kind != MOVE_CLAMP || on->clamp != CLAMP_FIXED || on->at_start) continue;
        const struct pass *waits = &pattern->ends[on->end].passes.at[pattern->pass_of[on->strand]];
        for (size_t k = i + 1; k < pattern->moves.count; k++) {
            const struct move *move = &pattern->moves.at[k];
            if (move->kind == MOVE_RELEASE && move->clamp == on->clamp &&
                move->clamp_number == on->clamp_number)
                break;
            if (move->kind != MOVE_WEAVE || move->end == on->end) continue;
            const struct strand *cross = &s->frame->strands[move->strand];
            if (cross->kind != CROSS) continue;
            double way = distance_to_segment(s->frame->holes[waits->leave].at,
                                             s->frame->holes[cross->holes[0]].at,
                                             s->frame->holes[cross->holes[1]].at);
            if (way >= CLAMP_IN_THE_WAY_MM) continue;
            struct finding *finding = report_add(
                s->report, RULE_clamp_in_the_way, move->span,
                "while %s is woven, the fixed clamp on %s of the %s end waits %s mm beside it",
                cross->name, s->frame->strands[on->strand].name,
                end_word(pattern->ends[on->end].name), format_decimal(s->arena, way, 0));
            finding_note(s->report, finding, on->span, "%s is pulled here",
                         s->frame->strands[on->strand].name);
            finding_help(s->report, finding,
                         "a starting clamp outside the hoop would be out of the way; "
                         "or tie that end off before the crosses");
            break;
        }
    }
}
