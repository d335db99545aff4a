/* The hole map: lists to ring and strands, and what can be wrong with it. */
#include "frame/holes.h"

#include "ground/limits.h"

#include <string.h>

enum { RIGHT, LEFT };
enum { HEAD, THROAT };

static const enum side list_sides[] = {SIDE_RIGHT, SIDE_LEFT};
static const enum place list_places[] = {PLACE_HEAD, PLACE_THROAT};

struct mapping {
    struct frame *frame;
    struct arena *arena;
    struct report *report;
    const struct hole_lists *lists;
    bool mirrored; /* one list serves both sides everywhere: say everything once */
    bool sound;
    struct span turned[2]; /* runs told to count the wrong way round, by the strands' end */
    /* Strand by kind, side and number; NO_STRAND where the lists do not name it. */
    int by_name[2][4][LIMIT_NUMBER + 1];
};

/* ---- names ---- */

/* A letter or word, then a number between a letter before and one after: "R7H", "right M3". Made by
 * hand, since every frame makes hundreds of them. */
static const char *numbered(struct arena *arena, const char *words, char before, int number,
                            char after) {
    struct output out = {.arena = arena, .at = (char[32]){0}, .room = 32};
    put(&out, words);
    if (before != '\0') put_char(&out, before);
    put_integer(&out, number);
    if (after != '\0') put_char(&out, after);
    return arena_copy(arena, out.at, out.length);
}

static const char *side_letter(enum side side) {
    return side == SIDE_LEFT ? "L" : side == SIDE_RIGHT ? "R" : "";
}

static const char *side_before(enum side side) {
    return side == SIDE_LEFT ? "left " : side == SIDE_RIGHT ? "right " : "";
}

static char place_letter(enum place place) { return place == PLACE_HEAD ? 'H' : 'T'; }

static void name_hole(struct arena *arena, struct hole *hole) {
    char letter = place_letter(hole->place);
    hole->id = numbered(arena, side_letter(hole->side), '\0', hole->number, letter);
    hole->name = numbered(arena, side_before(hole->side), '\0', hole->number, letter);
}

static void name_strand(struct arena *arena, struct strand *strand) {
    char letter = strand->kind == MAIN ? 'M' : 'C';
    strand->id = numbered(arena, side_letter(strand->side), letter, strand->number, '\0');
    strand->name = numbered(arena, side_before(strand->side), letter, strand->number, '\0');
}

/* The strand's name in a message: without its side where one list serves both. */
static const char *said(const struct mapping *map, const struct strand *strand) {
    return format(map->arena, "%s%d",
                  strand->kind == CROSS ? "C"
                  : map->mirrored || strand->side == SIDE_CENTRE
                      ? "M"
                      : format(map->arena, "%s M", side_word(strand->side)),
                  strand->number);
}

/* The same of a hole. */
static const char *said_hole(const struct mapping *map, int hole) {
    const struct hole *at = &map->frame->holes[hole];
    return map->mirrored && at->side != SIDE_CENTRE ? at->id + 1 : at->name;
}

/* ---- from lists to holes ---- */

static struct strand *strand_named(struct mapping *map, const struct strand_word *word) {
    return &map->frame->strands[map->by_name[word->kind][word->side][word->number]];
}

static void note_strand(struct mapping *map, const struct strand_word *word, int *mains,
                        int *crosses) {
    int *known = &map->by_name[word->kind][word->side][word->number];
    if (*known != NO_STRAND) return;
    *known = word->kind == MAIN ? (*mains)++ : (*crosses)++;
}

/* Gives every named strand its number in the frame: mains from the left, then crosses. */
static void number_strands(struct mapping *map) {
    struct frame *frame = map->frame;
    int mains = 0, crosses = 0;
    for (int side = 0; side < 2; side++)
        for (int place = 0; place < 2; place++)
            for (int i = 0; i < map->lists->at[side][place].count; i++) {
                const struct slot *slot = &map->lists->at[side][place].slots[i];
                for (int k = 0; k < slot->count; k++)
                    note_strand(map, &slot->strands[k], &mains, &crosses);
            }
    frame->main_count = mains;
    frame->cross_count = crosses;
    frame->strand_count = mains + crosses;
    frame->strands = arena_many(map->arena, struct strand, frame->strand_count + 1);
    int next = 0;
    static const enum side order[] = {SIDE_LEFT, SIDE_CENTRE, SIDE_RIGHT};
    for (int o = 0; o < 4; o++) {
        enum kind kind = o < 3 ? MAIN : CROSS;
        enum side side = o < 3 ? order[o] : SIDE_CENTRE;
        bool outside_first = kind == MAIN && side == SIDE_LEFT;
        for (int n = 0; n <= LIMIT_NUMBER; n++) {
            int number = outside_first ? LIMIT_NUMBER - n : n;
            int *known = &map->by_name[kind][side][number];
            if (*known == NO_STRAND) continue;
            *known = next;
            struct strand *strand = &frame->strands[next++];
            *strand = (struct strand){
                .kind = kind, .side = side, .number = number, .holes = {NO_HOLE, NO_HOLE}};
            strand->index = kind == MAIN ? next - 1 : next - 1 - mains;
            name_strand(map->arena, strand);
        }
    }
}

/* Which of a strand's two holes this one is: head before throat, left before right. */
static int which_end(const struct strand *strand, const struct hole *hole) {
    if (strand->kind == MAIN) return hole->place == PLACE_HEAD ? 0 : 1;
    return hole->side == SIDE_LEFT ? 0 : 1;
}

static void give_hole(struct mapping *map, int hole_index, const struct strand_word *word) {
    struct frame *frame = map->frame;
    struct hole *hole = &frame->holes[hole_index];
    struct strand *strand = strand_named(map, word);
    hole->strands[hole->strand_count++] = (int)(strand - frame->strands);
    if (!span_given(strand->span)) strand->span = word->span;
    int *end = &strand->holes[which_end(strand, hole)];
    if (*end == NO_HOLE) {
        *end = hole_index;
        return;
    }
    map->sound = false;
    const struct hole *first = &frame->holes[*end];
    if (map->mirrored && hole->side == SIDE_LEFT) return;
    const char *where = strand->kind == MAIN ? place_word(hole->place) : side_word(hole->side);
    bool main = strand->kind == MAIN, written_first = first->span.start <= word->span.start;
    struct finding *finding =
        report_add(map->report, RULE_strand_extra_hole, written_first ? word->span : first->span,
                   "%s has two holes %s: %s and %s", said(map, strand),
                   main            ? format(map->arena, "at the %s", where)
                   : map->mirrored ? "on each side"
                                   : format(map->arena, "on the %s", where),
                   said_hole(map, written_first ? *end : hole_index),
                   said_hole(map, written_first ? hole_index : *end));
    finding_note(map->report, finding, written_first ? first->span : word->span, "the other hole");
    finding_help(map->report, finding,
                 main ? "a main has one hole at the head and one at the throat"
                      : "a cross has one hole on each side");
}

static int new_hole(struct mapping *map, enum side side, int number, enum place place,
                    struct span span) {
    struct frame *frame = map->frame;
    if (number == 0) side = SIDE_CENTRE;
    struct hole *hole = &frame->holes[frame->hole_count];
    *hole = (struct hole){.side = side, .place = place, .number = number, .span = span};
    name_hole(map->arena, hole);
    return frame->hole_count++;
}

/* Adds the hole of a slot to the ring. 0H and 0T stand in both sides' lists and are added once. */
static void add_slot(struct mapping *map, int side, int place, int at) {
    const struct slot_list *list = &map->lists->at[side][place];
    const struct slot *slot = &list->slots[at];
    int number = list->centre ? at : at + 1;
    int hole = new_hole(map, list_sides[side], number, list_places[place], slot->span);
    for (int k = 0; k < slot->count; k++)
        give_hole(map, hole, &slot->strands[k]);
}

static void build_ring(struct mapping *map) {
    const struct hole_lists *lists = map->lists;
    int room = 0;
    for (int side = 0; side < 2; side++)
        for (int place = 0; place < 2; place++)
            room += lists->at[side][place].count;
    map->frame->holes = arena_many(map->arena, struct hole, room + 1);
    for (int i = 0; i < lists->at[RIGHT][HEAD].count; i++)
        add_slot(map, RIGHT, HEAD, i);
    for (int i = lists->at[RIGHT][THROAT].count; i-- > 0;)
        add_slot(map, RIGHT, THROAT, i);
    int first_throat = lists->at[LEFT][THROAT].centre ? 1 : 0;
    for (int i = first_throat; i < lists->at[LEFT][THROAT].count; i++)
        add_slot(map, LEFT, THROAT, i);
    int first_head = lists->at[LEFT][HEAD].centre ? 1 : 0;
    for (int i = lists->at[LEFT][HEAD].count; i-- > first_head;)
        add_slot(map, LEFT, HEAD, i);
}

/* ---- what can be wrong ---- */

static bool say_for(const struct mapping *map, const struct strand *strand) {
    return !(map->mirrored && strand->side == SIDE_LEFT);
}

static void find_missing_holes(struct mapping *map) {
    const struct frame *frame = map->frame;
    for (int i = 0; i < frame->strand_count; i++) {
        const struct strand *strand = &frame->strands[i];
        bool main = strand->kind == MAIN;
        for (int end = 0; end < 2; end++) {
            if (strand->holes[end] != NO_HOLE) continue;
            map->sound = false;
            if (!say_for(map, strand)) continue;
            const char *where = main ? (end == 0 ? "at the head" : "at the throat")
                                     : (end == 0 ? "on the left" : "on the right");
            struct finding *finding = report_add(map->report, RULE_strand_lacks_hole, strand->span,
                                                 "%s has no hole %s", said(map, strand), where);
            finding_help(map->report, finding,
                         main ? "a main is named once in the head's list and once in the throat's"
                              : "a cross is named once on each side");
        }
    }
}

static const char *row_letter(const struct mapping *map, enum kind kind, enum side side) {
    return kind == CROSS ? "C" : map->mirrored ? "M" : format(map->arena, "%s M", side_word(side));
}

/* Shown where the strand before the gap has the hole after which the missing ones would follow. */
static void tell_gap(struct mapping *map, enum kind kind, enum side side, int from, int to) {
    const int *by_number = map->by_name[kind][side];
    const char *letter = row_letter(map, kind, side);
    const struct strand *after = &map->frame->strands[by_number[to + 1]];
    const struct strand *before = from > 1 ? &map->frame->strands[by_number[from - 1]] : NULL;
    const char *missing = format(map->arena, "%s%d", letter, from);
    int end = before != NULL && before->holes[0] == NO_HOLE ? 1 : 0;
    if (to > from)
        missing = format(map->arena, "%s to %c%d", missing, kind == MAIN ? 'M' : 'C', to);
    struct finding *finding;
    if (before != NULL) {
        finding =
            report_add(map->report, RULE_strand_gap, before->span,
                       "no hole list names %s, between %s (%s) and %s", missing, said(map, before),
                       said_hole(map, before->holes[end]), said(map, after));
        finding_note(map->report, finding, after->span, "%s is mapped here", said(map, after));
    } else {
        finding = report_add(map->report, RULE_strand_gap, after->span,
                             "no hole list names %s, before %s", missing, said(map, after));
    }
    finding_help(map->report, finding,
                 kind == MAIN ? "mains are counted from the centre line outwards without a gap"
                              : "crosses are counted from the head without a gap");
}

static void find_gaps(struct mapping *map, enum kind kind, enum side side) {
    int last = 0;
    for (int n = 1; n <= LIMIT_NUMBER; n++)
        if (map->by_name[kind][side][n] != NO_STRAND) last = n;
    for (int n = 1; n < last; n++) {
        if (map->by_name[kind][side][n] != NO_STRAND) continue;
        map->sound = false;
        if (!say_for(map, &map->frame->strands[map->by_name[kind][side][last]])) return;
        int to = n;
        while (map->by_name[kind][side][to + 1] == NO_STRAND)
            to++;
        tell_gap(map, kind, side, n, to);
        return;
    }
}

/* Where a hole lies along a row of strands: mains at the head and at the throat from left to right,
 * crosses on the left and on the right from head to throat. */
static int position(const struct frame *frame, const struct strand *strand, int end) {
    int hole = strand->holes[end];
    if (strand->kind == MAIN && end == 0)
        return frame->holes[hole].side == SIDE_LEFT ? hole - frame->hole_count : hole;
    bool clockwise = strand->kind == CROSS && end == 1;
    return clockwise ? hole : -hole;
}

/* The word of a hole list that gives a strand its hole. */
static struct span word_of(const struct mapping *map, const struct strand *strand, int end) {
    return map->frame->holes[strand->holes[end]].span;
}

static bool same_run(const struct mapping *map, const struct strand *a, const struct strand *b,
                     int end) {
    return a->holes[end] != b->holes[end] &&
           word_of(map, a, end).start == word_of(map, b, end).start;
}

/* A run that names its strands from the wrong one on, told once and with the run as it should be.
 */
static void tell_turned(struct mapping *map, enum rule rule, const struct strand *one, int end) {
    struct span span = word_of(map, one, end);
    if (span.start == map->turned[0].start || span.start == map->turned[1].start) return;
    map->turned[end] = span;
    int least = one->number, most = one->number;
    for (int i = 0; i < map->frame->strand_count; i++) {
        const struct strand *strand = &map->frame->strands[i];
        if (strand->kind != one->kind || strand->side != one->side ||
            word_of(map, strand, end).start != span.start)
            continue;
        if (strand->number < least) least = strand->number;
        if (strand->number > most) most = strand->number;
    }
    bool main = one->kind == MAIN;
    bool down = !main && map->frame->holes[one->holes[end]].place == PLACE_THROAT;
    char letter = main ? 'M' : 'C';
    const char *run =
        format(map->arena, "%c%d..%c%d", letter, down ? most : least, letter, down ? least : most);
    struct finding *finding =
        report_add(map->report, rule, span, "this run counts the wrong way round: write %s", run);
    finding_help(map->report, finding,
                 main ? "a list begins at the centre line, and so do the mains: M1, M2 ..."
                      : "a list begins at the centre line; crosses are counted from the head: they "
                        "rise in the head's list and fall in the throat's");
    if (span.end - span.start == strlen(run))
        finding_fix(map->report, finding, false, span, "%s", run);
}

/* Where on the frame a strand's end lies: "at the head", "on the left". */
static const char *end_place(const struct strand *strand, int end) {
    return strand->kind == MAIN ? (end == 0 ? "at the head" : "at the throat")
                                : (end == 0 ? "on the left" : "on the right");
}

/* Two neighbours of a kind in the order of the frame: strands of a kind lie side by side. */
static void judge_neighbours(struct mapping *map, const struct strand *before,
                             const struct strand *after) {
    const struct frame *frame = map->frame;
    bool swapped[2];
    for (int end = 0; end < 2; end++)
        swapped[end] = position(frame, before, end) >= position(frame, after, end);
    if (!swapped[0] && !swapped[1]) return;
    map->sound = false;
    bool main = before->kind == MAIN,
         both_left = before->side == SIDE_LEFT && after->side == SIDE_LEFT;
    if (map->mirrored && both_left) return;
    const struct strand *inner = both_left ? after : before, *outer = both_left ? before : after;
    enum rule turned = swapped[0] && swapped[1] ? RULE_strand_order : RULE_strands_meet;
    int end = NO_HOLE;
    for (int i = 0; i < 2; i++) {
        if (!swapped[i]) continue;
        if (same_run(map, inner, outer, i))
            tell_turned(map, turned, inner, i);
        else if (end == NO_HOLE)
            end = i;
    }
    if (end == NO_HOLE) return;
    const char *inner_hole = said_hole(map, inner->holes[end]);
    const char *outer_hole = said_hole(map, outer->holes[end]);
    struct finding *finding;
    if (inner->holes[end] == outer->holes[end])
        finding = report_add(map->report, RULE_strands_meet, word_of(map, outer, end),
                             "%s and %s share %s: two %s cannot lie in one hole", said(map, inner),
                             said(map, outer), inner_hole, main ? "mains" : "crosses");
    else if (swapped[0] != swapped[1])
        finding = report_add(map->report, RULE_strands_meet, word_of(map, outer, end),
                             "%s (%s) stands before %s (%s) %s: they would cross", said(map, outer),
                             outer_hole, said(map, inner), inner_hole, end_place(outer, end));
    else
        finding = report_add(map->report, RULE_strand_order, word_of(map, outer, end),
                             main ? "%s (%s) lies outside %s (%s)" : "%s (%s) lies below %s (%s)",
                             said(map, inner), inner_hole, said(map, outer), outer_hole);
    if (inner->holes[end] != outer->holes[end])
        finding_note(map->report, finding, word_of(map, inner, end), "%s is mapped here",
                     said(map, inner));
    finding_help(
        map->report, finding,
        main ? "mains are counted from the centre line outwards, at the head and at the throat"
             : "crosses are counted from the head to the throat, on both sides");
}

static void find_disorder(struct mapping *map) {
    const struct frame *frame = map->frame;
    for (int i = 0; i + 1 < frame->strand_count; i++)
        if (frame->strands[i].kind == frame->strands[i + 1].kind)
            judge_neighbours(map, &frame->strands[i], &frame->strands[i + 1]);
}

static void find_absent_kinds(struct mapping *map) {
    const struct frame *frame = map->frame;
    if (frame->main_count > 0 && frame->cross_count > 0) return;
    map->sound = false;
    report_add(map->report, RULE_strand_gap, frame->span, "the hole lists of this frame name no %s",
               frame->main_count == 0 ? "mains" : "crosses");
}

static void find_centre_faults(struct mapping *map) {
    for (int place = 0; place < 2; place++) {
        const struct slot_list *right = &map->lists->at[RIGHT][place];
        const struct slot_list *left = &map->lists->at[LEFT][place];
        if (right->centre == left->centre) continue;
        map->sound = false;
        const struct slot_list *without = right->centre ? left : right;
        report_add(map->report, RULE_centre_main, without->span,
                   "M0 stands first in the list of the other side and must stand first here too");
    }
}

/* ---- sides that differ ---- */

static bool same_strands(const struct slot *a, const struct slot *b) {
    if (a->count != b->count) return false;
    for (int i = 0; i < a->count; i++)
        if (a->strands[i].kind != b->strands[i].kind ||
            a->strands[i].number != b->strands[i].number)
            return false;
    return true;
}

/* What passes the hole of a slot: "M3", "M9 and C2", "nothing". */
static const char *passes(const struct mapping *map, const struct slot *slot) {
    const char *words[STRANDS_PER_HOLE];
    for (int i = 0; i < slot->count; i++)
        words[i] = format(map->arena, "%c%d", slot->strands[i].kind == MAIN ? 'M' : 'C',
                          slot->strands[i].number);
    return slot->count == 0   ? "nothing"
           : slot->count == 1 ? words[0]
                              : format(map->arena, "%s and %s", words[0], words[1]);
}

/* The first hole that the two sides use differently, of lists written one for each side. Such
 * frames exist; as often one of the lists has a slip. */
static void find_uneven_sides(struct mapping *map, int place) {
    const struct slot_list *right = &map->lists->at[RIGHT][place],
                           *left = &map->lists->at[LEFT][place];
    if (right->span.start == left->span.start) return;
    bool left_later = left->span.start > right->span.start;
    const struct slot_list *later = left_later ? left : right, *first = left_later ? right : left;
    for (int i = 0; i < later->count && i < first->count; i++) {
        const struct slot *a = &later->slots[i], *b = &first->slots[i];
        if (same_strands(a, b)) continue;
        const char *sides[] = {left_later ? "left" : "right", left_later ? "right" : "left"};
        int number = later->centre ? i : i + 1;
        char letter = place_letter(list_places[place]);
        bool unused = a->count == 0 || b->count == 0;
        struct finding *finding =
            report_add(map->report, unused ? RULE_hole_never_used : RULE_sides_differ, a->span,
                       "%s %d%c is passed by %s, %s %d%c by %s", sides[0], number, letter,
                       passes(map, a), sides[1], number, letter, passes(map, b));
        finding_note(map->report, finding, b->span, "the same hole of the other side");
        finding_help(map->report, finding,
                     "if the frame is drilled so, say it with the line: # ignore SV-%d: and why",
                     unused ? RULE_hole_never_used : RULE_sides_differ);
        return;
    }
}

void frame_map(struct frame *frame, struct arena *arena, struct report *report,
               const struct hole_lists *lists) {
    struct mapping *map = arena_one(arena, struct mapping);
    *map = (struct mapping){.frame = frame,
                            .arena = arena,
                            .report = report,
                            .lists = lists,
                            .mirrored = true,
                            .sound = true};
    for (int side = 0; side < 2; side++)
        for (int place = 0; place < 2; place++)
            if (!lists->at[side][place].mirrored) map->mirrored = false;
    for (int kind = 0; kind < 2; kind++)
        for (int side = 0; side < 4; side++)
            for (int n = 0; n <= LIMIT_NUMBER; n++)
                map->by_name[kind][side][n] = NO_STRAND;
    find_centre_faults(map);
    if (!map->sound) return;
    number_strands(map);
    build_ring(map);
    find_absent_kinds(map);
    find_missing_holes(map);
    find_gaps(map, MAIN, SIDE_RIGHT);
    find_gaps(map, MAIN, SIDE_LEFT);
    find_gaps(map, CROSS, SIDE_CENTRE);
    if (map->sound) find_disorder(map);
    for (int place = 0; place < 2 && map->sound; place++)
        find_uneven_sides(map, place);
    frame->mapped = map->sound;
}
