/* Deeds in full words. */
#include "emit/deeds.h"

#include <string.h>

static const char *strand_name(const struct pattern *pattern, int strand) {
    return pattern->frame->strands[strand].name;
}

/* A strand says which side its holes are on, unless it runs from side to side. */
static const char *hole_by(const struct pattern *pattern, int strand, int hole) {
    const struct hole *at = &pattern->frame->holes[hole];
    bool main = pattern->frame->strands[strand].kind == MAIN;
    return main ? at->id + (at->side != SIDE_CENTRE) : at->name;
}

const char *clamp_words(const struct pattern *pattern, struct arena *arena, enum clamp_kind kind,
                        const struct clamp_place *place) {
    const char *strand = strand_name(pattern, place->strand);
    if (kind == CLAMP_FIXED)
        return format(arena, "fixed clamp on %s by %s", strand,
                      hole_by(pattern, place->strand, place->hole));
    const int *holes = pattern->frame->strands[place->strand].holes;
    bool tail = place->hole != holes[0] && place->hole != holes[1];
    return format(arena, "starting clamp outside %s, on %s%s",
                  pattern->frame->holes[place->hole].name, tail ? "the tail of " : "", strand);
}

/* At the start of a crosses string a fixed clamp is on the strand where it comes in, a starting
 * clamp on the tail, outside the hole that the tail goes through. */
static struct clamp_place place_of(const struct pattern *pattern, const struct move *move) {
    const struct end *end = &pattern->ends[move->end];
    const struct pass *pass = &end->passes.at[pattern->pass_of[move->strand]];
    int hole = !move->at_start                                               ? pass->leave
               : move->clamp == CLAMP_STARTING && end->start.hole != NO_HOLE ? end->start.hole
                                                                             : pass->enter;
    return (struct clamp_place){true, move->end, move->strand, hole};
}

static void add_deed(struct deeds *deeds, struct arena *arena, enum deed_kind kind,
                     const char *words) {
    *array_add(arena, &deeds->list) = (struct deed){kind, words};
}

/* Whether a starting clamp is on a strand. */
static bool is_in_starting_clamp(const struct deeds *deeds, int strand) {
    for (int i = 0; i < LIMIT_CLAMPS; i++) {
        const struct clamp_place *place = &deeds->clamps[CLAMP_STARTING][i];
        if (place->on && place->strand == strand) return true;
    }
    return false;
}

static void add_pull(struct deeds *deeds, const struct pattern *pattern, struct arena *arena,
                     const struct move *move) {
    bool again = move->kind == MOVE_REPULL;
    const char *grip = again && is_in_starting_clamp(deeds, move->strand)
                           ? ", gripped beyond the starting clamp"
                           : "";
    const char *force = pull_words(pattern, arena, move->strand);
    const char *what = move->at_start ? format(arena, "the tail at the start, of %s",
                                               strand_name(pattern, move->strand))
                                      : strand_name(pattern, move->strand);
    add_deed(deeds, arena, DEED_PULL,
             format(arena, "Pull %s%s%s%s%s", what, again ? " again" : "",
                    force[0] != '\0' ? ", " : "", force, grip));
}

/* A clamp that goes from one strand to the next in one line is one deed. `off` is where it was,
 * when the move before took it off. */
static void add_clamp(struct deeds *deeds, const struct pattern *pattern, struct arena *arena,
                      const struct move *move, const struct clamp_place *off) {
    struct clamp_place place = place_of(pattern, move);
    const char *on = clamp_words(pattern, arena, move->clamp, &place);
    const char *why = move->anchor && move->clamp == CLAMP_FIXED ? ", to hold the fold" : "";
    if (off == NULL) {
        add_deed(deeds, arena, DEED_CLAMP, format(arena, "Put a %s%s", on, why));
    } else if (off->strand == place.strand) {
        add_deed(
            deeds, arena, DEED_CLAMP,
            format(arena,
                   "While the tensioner pulls, take the clamp off %s and put it on again, by %s",
                   strand_name(pattern, place.strand), hole_by(pattern, place.strand, place.hole)));
    } else {
        add_deed(deeds, arena, DEED_CLAMP,
                 format(arena, "Move the clamp from %s to %s, by %s",
                        strand_name(pattern, off->strand), strand_name(pattern, place.strand),
                        hole_by(pattern, place.strand, place.hole)));
    }
    deeds->clamps[move->clamp][move->clamp_number - 1] = place;
}

/* A strand that was pulled in this line is in the tensioner until it is held otherwise. */
static void add_release(struct deeds *deeds, const struct pattern *pattern, struct arena *arena,
                        const struct move *move) {
    bool pulling = deeds->list.count > 0 && deeds->list.at[deeds->list.count - 1].kind == DEED_PULL;
    add_deed(deeds, arena, DEED_CLAMP,
             format(arena, "%s the %s clamp off %s",
                    pulling ? "While the tensioner pulls, take" : "Take", clamp_word(move->clamp),
                    strand_name(pattern, move->strand)));
}

static void add_knot(struct deeds *deeds, const struct pattern *pattern, struct arena *arena,
                     const struct move *move, bool first) {
    const char *tail =
        first ? format(arena, "; leave %s mm of tail", format_decimal(arena, ASSUMED_TAIL, 0)) : "";
    add_deed(deeds, arena, DEED_KNOT,
             format(arena, "%s at %s round %s%s", first ? "Start knot" : "Tie",
                    pattern->frame->holes[move->hole].name, strand_name(pattern, move->around),
                    tail));
}

static bool is_off_and_on(const struct move *off, const struct move *on) {
    return off->kind == MOVE_RELEASE && on->kind == MOVE_CLAMP && off->clamp == CLAMP_FIXED &&
           on->clamp == CLAMP_FIXED;
}

void deeds_of_row(struct deeds *deeds, const struct pattern *pattern, struct arena *arena,
                  const struct sheet_row *row) {
    memset(&deeds->list, 0, sizeof deeds->list);
    for (int i = row->first_move; i <= row->last_move; i++) {
        const struct move *move = &pattern->moves.at[i];
        struct clamp_place *clamp = move->kind == MOVE_RELEASE || move->kind == MOVE_CLAMP
                                        ? &deeds->clamps[move->clamp][move->clamp_number - 1]
                                        : NULL;
        switch (move->kind) {
        case MOVE_THREAD:
        case MOVE_WEAVE: break;
        case MOVE_PULL:
        case MOVE_REPULL: add_pull(deeds, pattern, arena, move); break;
        case MOVE_CLAMP: add_clamp(deeds, pattern, arena, move, NULL); break;
        case MOVE_RELEASE:
            if (i < row->last_move && is_off_and_on(move, move + 1)) {
                struct clamp_place off = *clamp;
                clamp->on = false;
                add_clamp(deeds, pattern, arena, move + 1, &off);
                i++;
                break;
            }
            add_release(deeds, pattern, arena, move);
            clamp->on = false;
            break;
        case MOVE_TIE:
            add_knot(deeds, pattern, arena, move, move->at_start && row->pulls == NO_STRAND);
            break;
        }
    }
}
