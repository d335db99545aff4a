/* The finish: starts and knots. */
#include "check/check.h"

void check_end_untied(const struct subject *s) {
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct end *end = &s->pattern->ends[e];
        if (end->tie.given || end->passes.count == 0) continue;
        const struct pass *last = &end->passes.at[end->passes.count - 1];
        struct finding *finding =
            report_add(s->report, RULE_end_untied,
                       span_given(last->pull_span) ? last->pull_span : last->thread_span,
                       "the %s end is never tied off", end_word(end->name));
        const char *room = knot_room_words(s->pattern, s->arena, e, &end->tie);
        const char *name = s->frame->strands[last->strand].name;
        if (room != NULL)
            finding_help(s->report, finding,
                         "after %s write: tie and a hole with room for a knot, near here %s; or a "
                         "line: find the rest",
                         name, room);
        else
            finding_help(s->report, finding,
                         "after %s write: tie and a hole with room for a knot; or a line: find the "
                         "rest",
                         name);
    }
}

void check_finish_other(const struct subject *s) {
    const struct word_place *asked = &s->pattern->intents.finish_at;
    if (asked->place == PLACE_UNSAID) return;
    for (size_t i = s->pattern->acts.count; i-- > 0;) {
        const struct act *act = &s->pattern->acts.at[i];
        if (act->kind != ACT_TIE) continue;
        const struct knot *knot = &s->pattern->ends[act->end].tie;
        if (s->frame->holes[knot->hole].place == asked->place) return;
        struct finding *finding = report_add(
            s->report, RULE_finish_other, knot->span, "the last knot is tied at %s, at the %s",
            s->frame->holes[knot->hole].name, place_word(s->frame->holes[knot->hole].place));
        finding_note(s->report, finding, asked->span, "this line asks for the %s",
                     place_word(asked->place));
        finding_help(s->report, finding, "let the end that is tied at the %s be the last",
                     place_word(asked->place));
        return;
    }
}

void check_start_missing(const struct subject *s) {
    int e = pattern_end(s->pattern, END_CROSS);
    if (e == NO_END) return;
    const struct end *end = &s->pattern->ends[e];
    /* Without a `from` the route says the same at the same place. */
    if (end->start.given || end->passes.count == 0 || !span_given(end->passes.at[0].from_span))
        return;
    struct finding *finding =
        report_add(s->report, RULE_start_missing, end->passes.at[0].thread_span,
                   "the cross string begins with %s, but where its tail is anchored is not said",
                   s->frame->strands[end->passes.at[0].strand].name);
    finding_help(s->report, finding,
                 "write before it: start right 6H, a hole with room for the knot; or a line: find "
                 "the rest");
}

static const char NO_OTHER[] = "no other hole with room is free whose main is pulled by then";

static void help_with_room(const struct subject *s, struct finding *finding, int end,
                           const struct knot *knot, const char *before, const char *none) {
    const char *room = knot_room_words(s->pattern, s->arena, end, knot);
    if (room != NULL)
        finding_help(s->report, finding, "%s%s", before, room);
    else
        finding_help(s->report, finding, "%s", none);
}

static void judge_room(const struct subject *s, int end, const struct knot *knot) {
    if (knot->hole == NO_HOLE || s->frame->damaged || s->frame->holes[knot->hole].tie_off) return;
    struct finding *finding =
        report_add(s->report, RULE_knot_no_room, knot->span, "%s has no room for a knot",
                   s->frame->holes[knot->hole].name);
    finding_note(s->report, finding, s->frame->span, "%s names its tie-off holes", s->frame->name);
    help_with_room(s, finding, end, knot, "holes with room: ", NO_OTHER);
}

void check_knot_no_room(const struct subject *s) {
    for (int e = 0; e < s->pattern->end_count; e++) {
        judge_room(s, e, &s->pattern->ends[e].start);
        judge_room(s, e, &s->pattern->ends[e].tie);
    }
}

static void judge_main(const struct subject *s, int end, const struct knot *knot, size_t act) {
    if (knot->around == NO_STRAND) return;
    const bool *pulled = pulled_by(s->pattern, s->arena, act);
    if (pulled[knot->around]) return;
    struct finding *finding =
        report_add(s->report, RULE_knot_before_main, knot->span,
                   "the knot at %s sits on %s, which is not pulled by then",
                   s->frame->holes[knot->hole].name, s->frame->strands[knot->around].name);
    int owner = s->pattern->end_of[knot->around];
    if (owner != NO_END)
        finding_note(s->report, finding,
                     s->pattern->ends[owner].passes.at[s->pattern->pass_of[knot->around]].pull_span,
                     "%s is pulled here", s->frame->strands[knot->around].name);
    help_with_room(s, finding, end, knot,
                   "tie later, or at a hole with room whose main is pulled by then: ",
                   "no hole with room has a pulled main yet: string the mains first");
}

void check_knot_before_main(const struct subject *s) {
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        const struct end *end = &s->pattern->ends[act->end];
        if (act->kind == ACT_START && !end->start_clamped) judge_main(s, act->end, &end->start, i);
        if (act->kind != ACT_TIE) continue;
        judge_main(s, act->end, &end->tie, i);
        if (end->start_clamped) judge_main(s, act->end, &end->start, i);
    }
}

void check_knots_share_hole(const struct subject *s) {
    const struct knot *knots[6];
    int owners[6], count = 0;
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct knot *both[] = {&s->pattern->ends[e].start, &s->pattern->ends[e].tie};
        for (int i = 0; i < 2; i++)
            if (both[i]->hole != NO_HOLE) {
                owners[count] = e;
                knots[count++] = both[i];
            }
    }
    for (int i = 0; i < count; i++)
        for (int k = 0; k < i; k++) {
            if (knots[i]->hole != knots[k]->hole) continue;
            bool later = knots[i]->span.start > knots[k]->span.start;
            struct finding *finding = report_add(
                s->report, RULE_knots_share_hole, later ? knots[i]->span : knots[k]->span,
                "two knots in %s: a hole has room for one", s->frame->holes[knots[i]->hole].name);
            finding_note(s->report, finding, later ? knots[k]->span : knots[i]->span,
                         "the other knot");
            help_with_room(s, finding, owners[later ? i : k], later ? knots[i] : knots[k],
                           "holes with room: ", NO_OTHER);
        }
}

void check_short_side_forbidden(const struct subject *s) {
    const struct word_side *asked = &s->frame->short_side;
    const struct word_side *longer = &s->pattern->intents.long_side;
    if (s->pattern->intents.pieces != 1 || asked->side == SIDE_UNSAID ||
        longer->side != asked->side)
        return;
    bool said = span_given(longer->span);
    struct finding *finding = report_add(
        s->report, RULE_short_side_forbidden, said ? longer->span : s->pattern->intents.pieces_span,
        "this frame wants its short side on the %s, but the long side is put there",
        side_word(asked->side));
    finding_note(s->report, finding, asked->span, "this line of the frame");
    if (s->pattern->mirrored)
        finding_help(s->report, finding, "string it with the sides as they are written");
    else
        finding_help(s->report, finding, "write: long side %s", side_word(other_side(asked->side)));
}

/* ---- a nearer hole ---- */

static const double WORTH_MOVING = 5; /* mm */

static bool holds_knot(const struct subject *s, int hole) {
    for (int e = 0; e < s->pattern->end_count; e++)
        if (s->pattern->ends[e].start.hole == hole || s->pattern->ends[e].tie.hole == hole)
            return true;
    return false;
}

/* The nearest hole an end could be tied at by the act of number `act`; NO_HOLE where there is none.
 */
static int nearest_room(const struct subject *s, int from, size_t act) {
    int nearest = NO_HOLE;
    const bool *pulled = pulled_by(s->pattern, s->arena, act);
    for (int h = 0; h < s->frame->hole_count; h++) {
        int main = s->frame->holes[h].tie_off ? hole_main(s->frame, h) : NO_STRAND;
        if (h == from || main == NO_STRAND || holds_knot(s, h) || !pulled[main]) continue;
        if (nearest == NO_HOLE ||
            hoop_distance(s->frame, from, h) < hoop_distance(s->frame, from, nearest))
            nearest = h;
    }
    return nearest;
}

void check_knot_nearer(const struct subject *s) {
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        if (act->kind != ACT_TIE || was_found(s->pattern, act->span)) continue;
        const struct end *end = &s->pattern->ends[act->end];
        int from = end->passes.at[end->passes.count - 1].leave;
        int nearest = nearest_room(s, from, i);
        if (nearest == NO_HOLE || end->tie.hole == NO_HOLE) continue;
        double taken = hoop_distance(s->frame, from, end->tie.hole);
        double spared = hoop_distance(s->frame, from, nearest);
        if (taken < spared + WORTH_MOVING) continue;
        struct finding *finding = report_add(
            s->report, RULE_knot_nearer, end->tie.span,
            "the %s end comes out at %s and is tied at %s, %s mm away: %s has room for a knot too "
            "and is %s mm away",
            end_word(end->name), s->frame->holes[from].name, s->frame->holes[end->tie.hole].name,
            format_decimal(s->arena, taken, 0), s->frame->holes[nearest].name,
            format_decimal(s->arena, spared, 0));
        finding_help(s->report, finding, "write tie %s, unless its loop would lie in the way",
                     s->frame->holes[nearest].name);
        finding_fix(s->report, finding, false, end->tie.span, "tie %s",
                    s->frame->holes[nearest].name);
    }
}

/* Whether the last pull of an end is harder than its base, or than the pull before it of its kind:
 * a tension of its own will do as well as a change. */
static bool last_is_harder(const struct subject *s, const struct end *end) {
    int count = (int)end->passes.count, last = end->passes.at[count - 1].strand;
    const struct pull_tension *tension = &s->pattern->tensions[last];
    if (tension->pull > tension->base) return true;
    int before = count > 1 ? end->passes.at[count - 2].strand : last;
    return s->frame->strands[before].kind == s->frame->strands[last].kind &&
           tension->pull > s->pattern->tensions[before].pull;
}

/* A knot gives some of the last pull back; common practice is to pull that strand harder. */
void check_last_pull_plain(const struct subject *s) {
    int first = NO_STRAND;
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct end *end = &s->pattern->ends[e];
        if (!end->tie.given || end->passes.count == 0) continue;
        int strand = end->passes.at[end->passes.count - 1].strand;
        if (!span_given(s->pattern->tensions[strand].base_span) || last_is_harder(s, end)) continue;
        if (first == NO_STRAND) first = strand;
    }
    if (first == NO_STRAND) return;
    const struct pull_tension *tension = &s->pattern->tensions[first];
    bool less = tension->pull < tension->base;
    struct finding *finding = report_add(
        s->report, RULE_last_pull_plain, less ? tension->change_span : tension->base_span,
        "%s is the last pull before a knot and gets %s than the others: the knot "
        "gives some of it back",
        s->frame->strands[first].name, less ? "less" : "no more");
    finding_help(s->report, finding, "common practice is 5 to 10 %% more, say: last pulls +5 %%");
    if (tension->pull == tension->base)
        finding_fix(s->report, finding, false,
                    (struct span){tension->base_line.end, tension->base_line.end}, "%s",
                    ", last pulls +5 %");
}
