/* A pattern held against the rules of play of its sport: what can be judged, and by how much it is
 * beyond them. */
#include "frame/bed.h"
#include "pattern/stages.h"

#include <math.h>
#include <string.h>

enum { MM2_PER_CM2 = 100 };

/* What is measured is worked out of rounded numbers: so much beyond a limit, in the limit's unit,
 * is none. */
static const double NOTHING = 0.005;

static void judge(struct pattern *pattern, struct arena *arena, enum play_matter matter,
                  const struct limit *limit, double measured) {
    if (limit->clause == NULL) return;
    *array_add(arena, &pattern->play.verdicts) =
        (struct verdict){.matter = matter,
                         .limit = limit,
                         .judged = true,
                         .measured = measured,
                         .beyond = measured > limit->value + NOTHING};
}

static void leave(struct pattern *pattern, struct arena *arena, enum play_matter matter,
                  const struct limit *limit) {
    if (limit->clause == NULL) return;
    *array_add(arena, &pattern->play.verdicts) = (struct verdict){.matter = matter, .limit = limit};
}

static struct verdict *last_verdict(struct pattern *pattern) {
    return &pattern->play.verdicts.at[pattern->play.verdicts.count - 1];
}

static void judge_racket(struct pattern *pattern, struct arena *arena) {
    const struct frame *frame = pattern->frame;
    const struct rulebook *book = pattern->play.book;
    if (frame->overall_length > 0) {
        judge(pattern, arena, PLAY_LENGTH, &book->length, frame->overall_length);
        judge(pattern, arena, PLAY_WIDTH, &book->width, frame->overall_width);
    } else {
        leave(pattern, arena, PLAY_LENGTH, &book->length);
        leave(pattern, arena, PLAY_WIDTH, &book->width);
    }
}

/* A bed that is longer than the plain limit is judged by the limits of one that reaches into the
 * throat, where the sport has such. */
static void judge_bed(struct pattern *pattern, struct arena *arena) {
    const struct frame *frame = pattern->frame;
    const struct rulebook *book = pattern->play.book;
    struct extent extent = bed_extent(frame);
    double length = extent.throat - extent.head;
    bool reaches = book->throat_length.clause != NULL && length > book->bed_length.value + NOTHING;
    judge(pattern, arena, PLAY_BED_LENGTH, reaches ? &book->throat_length : &book->bed_length,
          length);
    judge(pattern, arena, PLAY_BED_WIDTH, &book->bed_width, extent.right - extent.left);
    if (reaches)
        judge(pattern, arena, PLAY_THROAT, &book->throat_width,
              bed_width_beyond(frame, extent.head + book->bed_length.value));
    judge(pattern, arena, PLAY_AREA, &book->area, bed_area(frame) / MM2_PER_CM2);
    int longest = longest_strand(frame);
    if (longest == NO_STRAND || book->strand.clause == NULL) return;
    judge(pattern, arena, PLAY_STRAND, &book->strand, frame->strands[longest].length);
    last_verdict(pattern)->which = longest;
}

static void judge_centre(struct pattern *pattern, struct arena *arena) {
    const struct limit *limit = &pattern->play.book->centre;
    if (limit->clause == NULL) return;
    for (int kind = MAIN; kind <= CROSS; kind++) {
        double mean[3];
        if (bed_thirds(pattern->frame, (enum kind)kind, mean)) {
            double outer = fmin(mean[0], mean[2]);
            judge(pattern, arena, PLAY_CENTRE, limit, 100 * (mean[1] / outer - 1));
            last_verdict(pattern)->inner = mean[1];
            last_verdict(pattern)->outer = outer;
        } else {
            leave(pattern, arena, PLAY_CENTRE, limit);
        }
        last_verdict(pattern)->which = kind;
    }
}

static void judge_curve(struct pattern *pattern, struct arena *arena) {
    const struct limit *limit = &pattern->play.book->curve;
    double radius = pattern->frame->outside_radius;
    if (limit->clause == NULL) return;
    leave(pattern, arena, PLAY_CURVE, limit);
    if (radius == 0) return;
    struct verdict *verdict = last_verdict(pattern);
    verdict->judged = true;
    verdict->measured = radius;
    verdict->beyond = radius < limit->value - NOTHING;
}

/* One verdict for each string; one that is not judged where a material is not said or not known. */
static void judge_material(struct pattern *pattern, struct arena *arena) {
    const struct rulebook *book = pattern->play.book;
    if (book->material.clause == NULL) return;
    const struct string *strings[] = {pattern->mains_string, pattern->crosses_string};
    int count = strings[0] == strings[1] ? 1 : 2;
    for (int i = 0; i < count; i++) {
        leave(pattern, arena, PLAY_MATERIAL, &book->material);
        struct verdict *verdict = last_verdict(pattern);
        verdict->which = count == 1 ? ONLY_STRING : i;
        if (strings[i] == NULL || strings[i]->material == NULL) continue;
        enum substance substance = substance_of(strings[i]->material);
        verdict->judged = substance != SUBSTANCE_UNKNOWN;
        verdict->beyond = verdict->judged && (book->substances & substance) == 0;
    }
}

/* What cannot be otherwise: strands are mains and crosses, each hole map makes one bed of the two,
 * and the weave alternates because it is worked out so. */
static void take_for_granted(struct pattern *pattern, struct arena *arena) {
    const struct rulebook *book = pattern->play.book;
    judge(pattern, arena, PLAY_WEAVE, &book->weave, 0);
    judge(pattern, arena, PLAY_LAYERS, &book->layers, book->layers.value);
}

/* ---- the lists of what was judged ---- */

static const char *matter_words(const struct rulebook *book, const struct verdict *verdict) {
    switch (verdict->matter) {
    case PLAY_LENGTH:
    case PLAY_WIDTH: return book->width.clause != NULL ? "overall size" : "overall length";
    case PLAY_BED_LENGTH:
    case PLAY_BED_WIDTH:
    case PLAY_AREA: return book->bed;
    case PLAY_THROAT: return "reach into the throat";
    case PLAY_STRAND: return "longest string";
    case PLAY_CENTRE:
        return verdict->which == MAIN ? "density of the mains" : "density of the crosses";
    case PLAY_CURVE: return "curve of the head";
    case PLAY_MATERIAL:
        return verdict->which == ONLY_STRING ? "string material"
               : verdict->which == 0         ? "material of the mains"
                                             : "material of the crosses";
    case PLAY_WEAVE: return "weave";
    case PLAY_LAYERS: return verdict->limit->value > 1 ? "two layers" : "one layer";
    }
    return "";
}

static void list(struct word_list *words, struct arena *arena, const char *word) {
    if (words->count > 0 && strcmp(words->at[words->count - 1], word) == 0) return;
    *array_add(arena, words) = word;
}

static void list_matters(struct play *play, struct arena *arena) {
    for (size_t i = 0; i < play->verdicts.count; i++) {
        const struct verdict *verdict = &play->verdicts.at[i];
        const char *word = matter_words(play->book, verdict);
        list(verdict->judged ? &play->judged : &play->not_judged, arena, word);
        if (verdict->beyond) list(&play->beyond, arena, word);
    }
    for (const char *const *word = play->book->untold; *word != NULL; word++)
        list(&play->not_judged, arena, *word);
}

void judge_play(struct pattern *pattern, struct arena *arena) {
    pattern->play.book = rulebook_of(pattern->frame->sport);
    if (pattern->play.book == NULL) return;
    judge_racket(pattern, arena);
    judge_bed(pattern, arena);
    judge_centre(pattern, arena);
    judge_curve(pattern, arena);
    judge_material(pattern, arena);
    take_for_granted(pattern, arena);
    list_matters(&pattern->play, arena);
}
