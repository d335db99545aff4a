/* The rules of play: what pattern/play.c finds beyond them, in words. */
#include "check/check.h"

/* The verdict of this matter that is beyond the rules, after `after`; NULL where there is no more.
 */
static const struct verdict *next_beyond(const struct subject *s, enum play_matter matter,
                                         const struct verdict *after) {
    const struct play *play = &s->pattern->play;
    size_t i = after == NULL ? 0 : (size_t)(after - play->verdicts.at) + 1;
    for (; i < play->verdicts.count; i++)
        if (play->verdicts.at[i].matter == matter && play->verdicts.at[i].beyond)
            return &play->verdicts.at[i];
    return NULL;
}

static const char *number(const struct subject *s, double value) {
    return format_decimal(s->arena, value, 2);
}

/* "ITF Rules of Tennis, Appendix II (c); copy without a date" */
static const char *source_words(const struct subject *s, const struct limit *limit) {
    const struct rulebook *book = s->pattern->play.book;
    bool other = limit == &book->material && book->material_edition != NULL;
    return format(s->arena, "%s, %s; %s", book->document, limit->clause,
                  other ? book->material_edition : book->edition);
}

/* "the racket is 737.1 mm long, and 737 mm is the most (ITF Rules ...)" */
static struct finding *tell_size(const struct subject *s, enum rule rule, struct span span,
                                 const struct verdict *verdict, const char *what, const char *unit,
                                 const char *how) {
    return report_add(s->report, rule, span, "%s %s %s%s, and %s %s is the most (%s)", what,
                      number(s, verdict->measured), unit, how, number(s, verdict->limit->value),
                      unit, source_words(s, verdict->limit));
}

void check_racket_large(const struct subject *s) {
    const struct verdict *verdict = next_beyond(s, PLAY_LENGTH, NULL);
    if (verdict != NULL)
        finding_help(s->report,
                     tell_size(s, RULE_racket_large, s->frame->overall_span, verdict,
                               "the racket is", "mm", " long"),
                     "measure from the butt of the handle to the top of the hoop, with all that is "
                     "fixed to either");
    verdict = next_beyond(s, PLAY_WIDTH, NULL);
    if (verdict != NULL)
        finding_help(s->report,
                     tell_size(s, RULE_racket_large, s->frame->overall_span, verdict,
                               "the racket is", "mm", " wide"),
                     "measure across at the widest place, with all that is fixed to it");
}

void check_bed_large(const struct subject *s) {
    static const char *const help =
        "it is measured between the holes at the inside of the hoop: look at `inside` and at the "
        "tape";
    static const enum play_matter matters[] = {PLAY_BED_LENGTH, PLAY_BED_WIDTH};
    static const char *const ways[] = {" long", " wide"};
    for (int i = 0; i < 2; i++) {
        const struct verdict *verdict = next_beyond(s, matters[i], NULL);
        if (verdict == NULL) continue;
        const char *what = format(s->arena, "the %s is", s->pattern->play.book->bed);
        finding_help(
            s->report,
            tell_size(s, RULE_bed_large, s->frame->inside_span, verdict, what, "mm", ways[i]), "%s",
            help);
    }
}

void check_throat_wide(const struct subject *s) {
    const struct verdict *verdict = next_beyond(s, PLAY_THROAT, NULL);
    if (verdict == NULL) return;
    const struct rulebook *book = s->pattern->play.book;
    const char *plain = number(s, book->bed_length.value);
    const char *what =
        format(s->arena, "beyond %s mm from its first hole the %s is", plain, book->bed);
    finding_help(
        s->report,
        tell_size(s, RULE_throat_wide, s->frame->inside_span, verdict, what, "mm", " wide"),
        "strings may reach into the throat only where it is narrow: make the bed no "
        "longer than %s mm, or narrower there",
        plain);
}

void check_bed_area_large(const struct subject *s) {
    const struct verdict *verdict = next_beyond(s, PLAY_AREA, NULL);
    if (verdict == NULL) return;
    const char *what = format(s->arena, "the %s measures", s->pattern->play.book->bed);
    finding_help(s->report,
                 tell_size(s, RULE_bed_area_large, s->frame->inside_span, verdict, what, "cm2", ""),
                 "it is the area within the holes, at the inside of the hoop: look at `inside` and "
                 "at the outline");
}

void check_strand_long(const struct subject *s) {
    const struct verdict *verdict = next_beyond(s, PLAY_STRAND, NULL);
    if (verdict == NULL) return;
    const struct strand *strand = &s->frame->strands[verdict->which];
    const char *what = format(s->arena, "%s, the longest strand, is", strand->name);
    finding_help(s->report,
                 tell_size(s, RULE_strand_long, strand->span, verdict, what, "mm", " long"),
                 "it is measured between its holes at the inside of the hoop: look at `inside` and "
                 "at the tape");
}

void check_centre_open(const struct subject *s) {
    const struct verdict *verdict = NULL;
    while ((verdict = next_beyond(s, PLAY_CENTRE, verdict)) != NULL) {
        struct finding *finding = report_add(
            s->report, RULE_centre_open, s->frame->span,
            "the %s lie %s mm apart in the middle third of the bed and %s mm in an outer one, "
            "%s %% wider; the centre is not to be less dense (%s), and more than %s %% is taken "
            "for that here",
            verdict->which == MAIN ? "mains" : "crosses", number(s, verdict->inner),
            number(s, verdict->outer), format_decimal(s->arena, verdict->measured, 1),
            source_words(s, verdict->limit), number(s, verdict->limit->value));
        finding_help(s->report, finding,
                     s->frame->tape_given
                         ? "look at the tape: holes between two given ones are spread evenly"
                         : "give places of holes by a tape: without one they are spread evenly");
    }
}

void check_curve_tight(const struct subject *s) {
    const struct verdict *verdict = next_beyond(s, PLAY_CURVE, NULL);
    if (verdict == NULL) return;
    struct finding *finding =
        report_add(s->report, RULE_curve_tight, s->frame->outline_span,
                   "the outside of the head is curved to a radius of %s mm, and %s mm is the least "
                   "(%s)",
                   number(s, verdict->measured), number(s, verdict->limit->value),
                   source_words(s, verdict->limit));
    finding_note(s->report, finding, s->frame->overall_span,
                 "the frame is taken to be as thick as this and `inside` say: %s mm",
                 number(s, (s->frame->overall_width - s->frame->outline.width) / 2));
    finding_help(
        s->report, finding,
        "look at the outline: a higher exponent of the superellipse is rounder at the head "
        "and tighter towards the sides");
}

void check_material_excluded(const struct subject *s) {
    const struct verdict *verdict = NULL;
    while ((verdict = next_beyond(s, PLAY_MATERIAL, verdict)) != NULL) {
        const struct string *string =
            verdict->which == 1 ? s->pattern->crosses_string : s->pattern->mains_string;
        struct finding *finding = report_add(
            s->report, RULE_material_excluded, string->material_span,
            "%s is of %s, which %s does not allow for strings (%s)", string->name, string->material,
            s->pattern->play.book->sport, source_words(s, verdict->limit));
        finding_note(s->report, finding, s->pattern->span, "%s is strung with it",
                     s->pattern->name);
        finding_help(s->report, finding, "take another string, or correct its material");
    }
}
