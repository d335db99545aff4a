/* A frame from its block: lines to values and lists, then the hole map and the geometry. */
#include "resolve/library.h"
#include "resolve/values.h"

#include "frame/holes.h"
#include "ground/limits.h"
#include "ground/nearest.h"

#include <string.h>

enum { RIGHT, LEFT };
enum { HEAD, THROAT };

static const double ASSUMED_WALL = 12; /* mm; a usual length of a grommet hole */

/* What the frame's lines give, on the way to the model. */
struct frame_parts {
    struct library *library;
    const struct tree_definition *definition;
    struct frame *frame;
    const struct tree_line *inside, *outline;
    const struct tree_line *holes[2][2]; /* [side][place] */
    const struct tree_line *tape, *tie_off, *range;
    bool measured;
};

/* ---- outline ---- */

static bool take_stations(struct report *report, struct arena *arena, struct outline *outline,
                          const struct tree_at *first) {
    int count = 0;
    for (const struct tree_at *at = first; at != NULL; at = at->next)
        count++;
    if (count > LIMIT_STATIONS) {
        report_add(report, RULE_too_many, first->value.span, "%d stations; %d are the most", count,
                   LIMIT_STATIONS);
        return false;
    }
    outline->stations = arena_many(arena, struct station, count);
    double before = 0;
    for (const struct tree_at *at = first; at != NULL; at = at->next) {
        struct station *station = &outline->stations[outline->station_count++];
        if (!take_value(report, at->value, DIMENSION_LENGTH, "the half width of a station", 1,
                        outline->width / 2, &station->half_width) ||
            !take_value(report, at->at, DIMENSION_LENGTH, "the distance of a station", 1,
                        outline->length, &station->y))
            return false;
        if (station->y <= before || station->y >= outline->length) {
            struct finding *finding = report_add(
                report, RULE_outline_bad, at->at.span,
                "the stations run from the head to the throat: %s mm cannot follow %s mm",
                format_decimal(arena, station->y, 1), format_decimal(arena, before, 1));
            finding_help(report, finding,
                         "each distance is larger than the one before and smaller "
                         "than the inside length");
            return false;
        }
        before = station->y;
    }
    return true;
}

static const char *written(struct arena *arena, struct tree_number number) {
    return format(arena, "%s %s", format_decimal(arena, number.value, 6), unit_word(number.unit));
}

/* No hoop is wider than long: the two were exchanged. */
static void tell_wider(struct frame_parts *parts) {
    struct report *report = parts->library->report;
    struct tree_number width = parts->inside->as.inside.width;
    struct tree_number length = parts->inside->as.inside.length;
    const char *wide = written(report->arena, width), *high = written(report->arena, length);
    struct finding *finding = report_add(report, RULE_wider_than_long, parts->inside->span,
                                         "the hoop is wider (%s) than it is long (%s)", wide, high);
    finding_help(report, finding, "its length runs from head to throat: were the two exchanged?");
    finding_fix(report, finding, false, (struct span){width.span.start, length.span.end},
                "%s wide, %s", high, wide);
}

static void take_outline(struct frame_parts *parts) {
    struct report *report = parts->library->report;
    struct arena *arena = parts->library->arena;
    struct outline *outline = &parts->frame->outline;
    const struct tree_line *inside = parts->inside, *line = parts->outline;
    bool sound = take_value(report, inside->as.inside.width, DIMENSION_LENGTH, "the inside width",
                            100, 400, &outline->width);
    sound &= take_value(report, inside->as.inside.length, DIMENSION_LENGTH, "the inside length",
                        150, 500, &outline->length);
    parts->frame->inside_span = inside->span;
    parts->frame->outline_span = line->span;
    if (sound && outline->width > outline->length) tell_wider(parts);
    outline->exponent = 2;
    outline->kind = line->as.outline.word == OUTLINE_STATIONS ? STATIONS : OVAL;
    if (line->as.outline.word == OUTLINE_SUPERELLIPSE)
        sound &= take_value(report, line->as.outline.exponent, DIMENSION_NUMBER,
                            "the exponent of a superellipse", 1.5, 4, &outline->exponent);
    if (span_given(line->as.outline.taper.span)) {
        double percent = 0;
        sound &= take_value(report, line->as.outline.taper, DIMENSION_PERCENT, "the taper", 0, 40,
                            &percent);
        outline->taper = percent / 100;
    }
    if (sound && outline->kind == STATIONS)
        sound = take_stations(report, arena, outline, line->as.outline.stations);
    if (sound) outline_measure(outline, arena);
    parts->measured = sound;
}

/* ---- hole lists ---- */

static enum side strand_side(enum kind kind, int number, enum side side) {
    return kind == CROSS || number == 0 ? SIDE_CENTRE : side;
}

static void add_strand(struct slot *slot, const struct tree_strand *strand, enum side side,
                       struct span span) {
    slot->strands[slot->count++] = (struct strand_word){
        strand->kind, strand_side(strand->kind, strand->number, side), strand->number, span};
}

static bool judge_range(struct report *report, const struct tree_strands *strands) {
    const char *letters = "MC";
    if (strands->first.kind != strands->last.kind) {
        struct finding *finding = report_add(report, RULE_malformed, strands->span,
                                             "a run goes from main to main or from cross to cross");
        finding_help(report, finding, "%c%d is a %s, %c%d a %s: write two runs",
                     letters[strands->first.kind], strands->first.number,
                     strands->first.kind == MAIN ? "main" : "cross", letters[strands->last.kind],
                     strands->last.number, strands->last.kind == MAIN ? "main" : "cross");
        return false;
    }
    return true;
}

static bool cross_zero(struct report *report, const struct tree_strand *strand) {
    if (strand->kind != CROSS || strand->number > 0) return false;
    struct finding *finding = report_add(report, RULE_number_range, strand->span,
                                         "there is no C0: crosses are counted from C1 at the head");
    finding_help(report, finding, "a centre strand is a main: M0");
    return true;
}

/* Appends the slots of one written slot to a list for one side. */
static bool add_slots(struct frame_parts *parts, struct slot_list *list,
                      const struct tree_slot *tree, enum side side) {
    struct report *report = parts->library->report;
    if (tree->kind == SLOT_UNUSED || tree->kind == SLOT_SHARED) {
        struct slot *slot = &list->slots[list->count++];
        slot->span = tree->span;
        if (tree->kind == SLOT_UNUSED) return true;
        for (int i = 0; i < 2; i++) {
            if (cross_zero(report, &tree->shared[i])) return false;
            add_strand(slot, &tree->shared[i], side, tree->shared[i].span);
        }
        return true;
    }
    const struct tree_strands *strands = &tree->strands;
    if (!judge_range(report, strands) || cross_zero(report, &strands->first)) return false;
    if (strands->side != SIDE_UNSAID) {
        if (list->mirrored) {
            struct finding *finding =
                report_add(report, RULE_side_misplaced, strands->span,
                           "this list holds for both sides: a strand in it has no side of its own");
            finding_help(report, finding,
                         "write `holes left ...` and `holes right ...` where the "
                         "sides differ");
            return false;
        }
        side = strands->side;
    }
    int step = strands->last.number >= strands->first.number ? 1 : -1;
    for (int n = strands->first.number;; n += step) {
        if (list->count > LIMIT_NUMBER) return true; /* take_list says so */
        struct tree_strand one = {strands->first.kind, n, tree->span};
        struct slot *slot = &list->slots[list->count++];
        slot->span = tree->span;
        add_strand(slot, &one, side, tree->span);
        if (n == strands->last.number) return true;
    }
}

/* How many holes the written slots are, as far as a list may hold them. */
static int count_slots(const struct tree_slot *tree) {
    int count = 0;
    for (; tree != NULL && count <= LIMIT_NUMBER; tree = tree->next) {
        int way =
            tree->kind == SLOT_STRANDS ? tree->strands.last.number - tree->strands.first.number : 0;
        count += (way < 0 ? -way : way) + 1;
    }
    return count;
}

static bool take_list(struct frame_parts *parts, struct slot_list *list, int side, int place) {
    const struct tree_line *line = parts->holes[side][place];
    list->slots = arena_many(parts->library->arena, struct slot, count_slots(line->as.holes.slots));
    list->span = line->span;
    list->mirrored = line->as.holes.side.side == SIDE_UNSAID;
    for (const struct tree_slot *tree = line->as.holes.slots; tree != NULL; tree = tree->next) {
        if (list->count > LIMIT_NUMBER) break;
        if (!add_slots(parts, list, tree, side == RIGHT ? SIDE_RIGHT : SIDE_LEFT)) return false;
    }
    if (list->count > LIMIT_NUMBER) {
        report_add(parts->library->report, RULE_too_many, line->span,
                   "more than %d holes in one list: no racket has so many", LIMIT_NUMBER);
        return false;
    }
    for (int i = 0; i < list->count; i++)
        for (int k = 0; k < list->slots[i].count; k++) {
            const struct strand_word *word = &list->slots[i].strands[k];
            if (word->kind != MAIN || word->number != 0) continue;
            if (i == 0 && list->slots[i].count == 1) {
                list->centre = true;
                continue;
            }
            struct finding *finding = report_add(
                parts->library->report, RULE_centre_main, word->span,
                "M0 lies on the centre line: it stands first in a list, alone in its hole");
            finding_help(parts->library->report, finding, "its holes are 0H and 0T");
            return false;
        }
    return true;
}

static void take_holes(struct frame_parts *parts) {
    struct hole_lists *lists = arena_one(parts->library->arena, struct hole_lists);
    bool sound = true;
    for (int side = 0; side < 2; side++)
        for (int place = 0; place < 2; place++)
            sound &= take_list(parts, &lists->at[side][place], side, place);
    if (sound) frame_map(parts->frame, parts->library->arena, parts->library->report, lists);
}

/* ---- marks at holes ---- */

/* The holes a written hole means: one, or both sides' where no side is said. A finding where the
 * frame has none such. */
static int holes_meant(struct frame_parts *parts, const struct tree_hole *hole, int found[2]) {
    struct frame *frame = parts->frame;
    int count = 0;
    enum side sides[] = {SIDE_RIGHT, SIDE_LEFT};
    for (int i = 0; i < 2; i++) {
        if (hole->side != SIDE_UNSAID && hole->side != sides[i]) continue;
        int index = frame_hole(frame, sides[i], hole->number, hole->place);
        if (index != NO_HOLE && (count == 0 || found[0] != index)) found[count++] = index;
    }
    int most = 0;
    for (int i = 0; i < frame->hole_count; i++)
        if (frame->holes[i].place == hole->place && frame->holes[i].number > most)
            most = frame->holes[i].number;
    if (count == 0)
        report_add(parts->library->report, RULE_hole_unknown, hole->span,
                   "this frame has no hole %d%c: its holes at the %s are 1%c to %d%c", hole->number,
                   hole->place == PLACE_HEAD ? 'H' : 'T', place_word(hole->place),
                   hole->place == PLACE_HEAD ? 'H' : 'T', most,
                   hole->place == PLACE_HEAD ? 'H' : 'T');
    return count;
}

static void take_tie_offs(struct frame_parts *parts) {
    if (parts->tie_off == NULL) return;
    struct report *report = parts->library->report;
    struct frame *frame = parts->frame;
    for (const struct tree_hole_list *at = parts->tie_off->as.tie_off; at != NULL; at = at->next) {
        int found[2], count = holes_meant(parts, &at->hole, found);
        if (count == 0) frame->damaged = true; /* another hole was meant, and may be asked for */
        bool twice =
            count > 0 && frame->holes[found[0]].tie_off && frame->holes[found[count - 1]].tie_off;
        if (twice) {
            struct finding *finding =
                report_add(report, RULE_hole_twice, at->hole.span, "%s is in this list already",
                           frame->holes[found[0]].name);
            finding_help(report, finding, "take it out, or write the hole that is meant");
            continue;
        }
        for (int i = 0; i < count; i++) {
            frame->holes[found[i]].tie_off = true;
            if (hole_main(frame, found[i]) != NO_STRAND) continue;
            if (i > 0 && at->hole.side == SIDE_UNSAID) continue;
            struct finding *finding =
                report_add(report, RULE_tie_off_without_main, at->hole.span,
                           "%s carries no main: a knot is tied round the main of its hole",
                           frame->holes[found[i]].name);
            finding_help(report, finding, "name a hole with a main and room for a knot");
        }
    }
}

static void take_guides(struct frame_parts *parts) {
    struct report *report = parts->library->report;
    for (const struct tree_line *line = parts->definition->lines; line != NULL; line = line->next) {
        if (line->kind != LINE_GUIDE) continue;
        int found[2], count = holes_meant(parts, &line->as.guide.hole, found);
        for (int i = 0; i < count; i++) {
            struct hole *hole = &parts->frame->holes[found[i]];
            if (hole->guide != LANE_UNSAID && hole->guide != line->as.guide.lane) {
                struct finding *finding =
                    report_add(report, RULE_guide_twice, line->span,
                               "%s is guided to the front and to the back", hole->name);
                finding_note(report, finding, hole->guide_span, "the other guide");
                break;
            }
            hole->guide = line->as.guide.lane;
            hole->guide_span = line->span;
        }
    }
}

static void take_tape(struct frame_parts *parts) {
    struct report *report = parts->library->report;
    int count = 0;
    const struct tree_at *first = parts->tape != NULL ? parts->tape->as.tape : NULL;
    for (const struct tree_at *at = first; at != NULL; at = at->next)
        count++;
    struct tape_mark *marks = arena_many(parts->library->arena, struct tape_mark, 2 * count + 1);
    int mark_count = 0;
    bool sound = true;
    for (const struct tree_at *at = first; at != NULL; at = at->next) {
        double distance = 0;
        int found[2];
        if (!take_value(report, at->at, DIMENSION_LENGTH, "the distance along the tape", 0, 1000,
                        &distance)) {
            sound = false;
            continue;
        }
        int holes = holes_meant(parts, &at->hole, found);
        if (holes == 0) sound = false;
        for (int i = 0; i < holes; i++) {
            const struct hole *hole = &parts->frame->holes[found[i]];
            marks[mark_count++] = (struct tape_mark){.side = hole->side,
                                                     .place = hole->place,
                                                     .number = hole->number,
                                                     .distance = distance,
                                                     .span = at->hole.span,
                                                     .mirrored = at->hole.side == SIDE_UNSAID};
        }
    }
    if (sound) frame_place(parts->frame, parts->library->arena, report, marks, mark_count);
}

/* ---- the block ---- */

static void take_tension(struct frame_parts *parts, const struct tree_line *line) {
    struct report *report = parts->library->report;
    struct frame *frame = parts->frame;
    struct tree_number least = line->as.range.least, most = line->as.range.most;
    if (least.unit == UNIT_NONE) least.unit = most.unit;
    double from, to;
    if (!take_value(report, most, DIMENSION_FORCE, "the tension range", 5, 500, &to) ||
        !take_value(report, least, DIMENSION_FORCE, "the tension range", 5, 500, &from))
        return;
    if (from > to) {
        report_add(report, RULE_number_range, line->span,
                   "a tension range goes from the lower to the higher value");
        return;
    }
    frame->least_tension = from;
    frame->most_tension = to;
    frame->tension_unit = most.unit;
    frame->tension_span = line->span;
}

/* Sports whose habits are known: see the manual; and the pounds between which the ranges printed on
 * their frames lie, from memory of usual frames and with some to spare. */
static const struct {
    const char *name;
    double least, most; /* lb */
} sports[] = {
    {"squash", 15, 35}, {"tennis", 30, 80}, {"badminton", 15, 36}, {"racquetball", 20, 45}};

static void take_sport(struct frame_parts *parts, struct tree_name name) {
    struct report *report = parts->library->report;
    enum { COUNT = sizeof sports / sizeof *sports };
    const char *words[COUNT];
    parts->frame->sport = name.text;
    for (size_t i = 0; i < COUNT; i++) {
        if (strcmp(sports[i].name, name.text) == 0) return;
        words[i] = sports[i].name;
    }
    struct finding *finding = report_add(report, RULE_sport_unknown, name.span,
                                         "nothing is known of the sport %s", name.text);
    const char *nearest = nearest_of(name.text, words, COUNT);
    if (nearest != NULL) finding_help(report, finding, "did you mean %s?", nearest);
    if (nearest != NULL)
        finding_fix(report, finding, false, name.span, "%s", nearest);
    else
        finding_help(report, finding,
                     "known are squash, tennis, badminton and racquetball; for another sport "
                     "leave the line out");
}

static void take_overall(struct frame_parts *parts, const struct tree_line *line) {
    struct report *report = parts->library->report;
    struct frame *frame = parts->frame;
    double length, width;
    bool sound = take_value(report, line->as.overall.length, DIMENSION_LENGTH,
                            "the length of the racket", 300, 1000, &length);
    sound &= take_value(report, line->as.overall.width, DIMENSION_LENGTH, "the width of the racket",
                        100, 500, &width);
    if (!sound) return;
    frame->overall_length = length;
    frame->overall_width = width;
    frame->overall_span = line->span;
}

static void take_squeeze(struct frame_parts *parts, const struct tree_line *line) {
    struct report *report = parts->library->report;
    struct frame *frame = parts->frame;
    static const double least = 5, most = 5000;
    frame->squeeze_span = line->span;
    take_value(report, line->as.squeeze.wide, DIMENSION_STIFFNESS, "the squeeze at the widest",
               least, most, &frame->squeeze_wide);
    if (span_given(line->as.squeeze.length.span))
        take_value(report, line->as.squeeze.length, DIMENSION_STIFFNESS,
                   "the squeeze from head to throat", least, most, &frame->squeeze_long);
}

/* A racket is larger than its hoop. Its outside is the inside moved outwards: so it is from the
 * head to the widest place, while further down the handle begins. */
static void measure_outside(struct frame_parts *parts) {
    struct report *report = parts->library->report;
    struct frame *frame = parts->frame;
    const struct outline *outline = &frame->outline;
    if (frame->overall_length == 0) return;
    if (frame->overall_length > outline->length && frame->overall_width > outline->width) {
        frame->outside_radius = outline->least_radius + (frame->overall_width - outline->width) / 2;
        return;
    }
    struct finding *finding = report_add(report, RULE_number_range, frame->overall_span,
                                         "a racket of this size has no room for its hoop");
    finding_note(report, finding, frame->inside_span, "the size of the hoop inside");
    finding_help(report, finding,
                 "overall is the size of the whole racket, handle and all: first how long, then "
                 "how wide");
}

static bool within(double value, double least, double most) {
    return value >= least - 1e-6 && value <= most + 1e-6;
}

/* A range printed on the frame that no frame of the sport has: most often the unit is another. */
static void judge_range_of_sport(struct frame_parts *parts) {
    const struct frame *frame = parts->frame;
    struct report *report = parts->library->report;
    struct arena *arena = report->arena;
    if (frame->sport == NULL || parts->range == NULL || frame->most_tension <= 0) return;
    size_t i = 0;
    while (i < sizeof sports / sizeof *sports && strcmp(sports[i].name, frame->sport) != 0)
        i++;
    if (i == sizeof sports / sizeof *sports) return;
    double least = sports[i].least * NEWTON_PER_LB, most = sports[i].most * NEWTON_PER_LB;
    double low = frame->least_tension, high = frame->most_tension;
    if (within(low, least, most) && within(high, least, most)) return;
    parts->frame->range_doubted = true;
    enum unit unit = frame->tension_unit;
    const char *said = format(arena, "%s to %s", format_decimal(arena, low / unit_factor(unit), 2),
                              force_words(arena, high, unit, 2));
    if (unit != UNIT_LB)
        said = format(arena, "%s (%s to %s)", said, format_decimal(arena, low / NEWTON_PER_LB, 1),
                      force_words(arena, high, UNIT_LB, 1));
    struct finding *finding = report_add(
        report, RULE_range_unusual, parts->range->span,
        "a range of %s is not usual in %s, where it lies between %s and %s lb", said, frame->sport,
        format_decimal(arena, sports[i].least, 0), format_decimal(arena, sports[i].most, 0));
    static const enum unit units[] = {UNIT_LB, UNIT_KG, UNIT_N};
    struct tree_number from = parts->range->as.range.least, to = parts->range->as.range.most;
    for (size_t k = 0; k < 3; k++) {
        double factor = unit_factor(units[k]);
        if (from.unit != UNIT_NONE || !within(from.value * factor, least, most) ||
            !within(to.value * factor, least, most))
            continue;
        finding_help(report, finding, "are they %s?", unit_word(units[k]));
        finding_fix(report, finding, false, to.span, "%s %s", format_decimal(arena, to.value, 6),
                    unit_word(units[k]));
        return;
    }
    finding_help(report, finding, "look at the frame once more; it says the range that counts");
}

static void take_line(struct frame_parts *parts, const struct tree_line *line) {
    struct report *report = parts->library->report;
    struct frame *frame = parts->frame;
    switch (line->kind) {
    case LINE_SPORT: take_sport(parts, line->as.name); break;
    case LINE_INSIDE: parts->inside = line; break;
    case LINE_OVERALL: take_overall(parts, line); break;
    case LINE_OUTLINE: parts->outline = line; break;
    case LINE_SQUEEZE: take_squeeze(parts, line); break;
    case LINE_WALL:
        frame->wall_given =
            take_value(report, line->as.number, DIMENSION_LENGTH, "the wall", 2, 40, &frame->wall);
        break;
    case LINE_TAPE:
        parts->tape = line;
        frame->tape_given = true;
        break;
    case LINE_TIE_OFF: parts->tie_off = line; break;
    case LINE_LANES:
        frame->lanes_given =
            take_count(report, line->as.number, "the number of lanes", 1, 2, &frame->lanes);
        break;
    case LINE_SHORT_SIDE:
        frame->short_side = (struct word_side){line->as.short_side.side, line->span};
        break;
    case LINE_RANGE:
        parts->range = line;
        take_tension(parts, line);
        break;
    case LINE_CROSSES:
        frame->crosses_from = (struct word_place){line->as.crosses.from.place, line->span};
        if (line->as.crosses.skip != NULL || span_given(line->as.crosses.by.span))
            report_add(report, RULE_line_misplaced, line->span,
                       "which %s is said in a pattern, not in a frame",
                       line->as.crosses.skip != NULL ? "crosses are skipped"
                                                     : "end strings the crosses");
        break;
    default: break;
    }
}

/* A list without a side serves both; one with a side comes before it. */
static void sort_hole_lines(struct frame_parts *parts) {
    struct report *report = parts->library->report;
    for (const struct tree_line *line = parts->definition->lines; line != NULL; line = line->next) {
        if (line->kind != LINE_HOLES) continue;
        int place = line->as.holes.place.place == PLACE_HEAD ? HEAD : THROAT;
        for (int side = 0; side < 2; side++) {
            enum side word = line->as.holes.side.side;
            if (word == (side == RIGHT ? SIDE_LEFT : SIDE_RIGHT)) continue;
            const struct tree_line **slot = &parts->holes[side][place];
            bool same = *slot != NULL && (*slot)->as.holes.side.side == word;
            if (same) {
                struct finding *finding = report_add(report, RULE_line_twice, line->span,
                                                     "the holes at the %s are listed twice",
                                                     place_word(line->as.holes.place.place));
                finding_note(report, finding, (*slot)->span, "they are first listed here");
            } else if (*slot == NULL || word != SIDE_UNSAID) {
                *slot = line;
            }
        }
    }
}

static void lack(struct frame_parts *parts, const char *what, const char *help) {
    if (parts->definition->damaged) return;
    struct finding *finding =
        report_add(parts->library->report, RULE_line_missing, parts->definition->name.span,
                   "frame %s has no `%s` line", parts->definition->name.text, what);
    finding_help(parts->library->report, finding, "%s", help);
}

static void find_lacks(struct frame_parts *parts) {
    if (parts->inside == NULL)
        lack(parts, "inside", "give its size: inside 250 mm wide, 335 mm long");
    if (parts->outline == NULL)
        lack(parts, "outline", "give its shape: outline superellipse 2.1, taper 6 %");
    static const char *const wanted[] = {"holes head", "holes throat"};
    static const char *const helps[] = {
        "list its holes from the centre line: holes head M1..M6 C1 M7",
        "list its holes from the centre line: holes throat M1..M7 C18..C10"};
    for (int place = 0; place < 2; place++) {
        bool right = parts->holes[RIGHT][place] != NULL, left = parts->holes[LEFT][place] != NULL;
        if (!right && !left)
            lack(parts, wanted[place], helps[place]);
        else if (!right || !left)
            lack(parts,
                 format(parts->library->arena, "holes %s %s", right ? "left" : "right",
                        place == HEAD ? "head" : "throat"),
                 "one side is listed, the other is not; a list without a side holds for both");
    }
    if (parts->tie_off == NULL)
        lack(parts, "tie-off", "name the holes with room for a knot: tie-off 5H, 8T");
}

static void build_frame(struct library *library, struct entry *entry) {
    const struct tree_definition *d = entry->definition;
    judge_lines(library->report, d, IN_FRAME);
    struct frame *frame = entry->frame = arena_one(library->arena, struct frame);
    *frame = (struct frame){.name = d->name.text,
                            .title = d->title.text,
                            .span = d->name.span,
                            .wall = ASSUMED_WALL,
                            .tension_unit = UNIT_LB,
                            .lanes = 2,
                            .damaged = d->damaged};
    frame->notes = collect_notes(library->arena, d->lines);
    struct frame_parts parts = {.library = library, .definition = d, .frame = frame};
    for (const struct tree_line *line = d->lines; line != NULL; line = line->next)
        take_line(&parts, line);
    judge_range_of_sport(&parts);
    sort_hole_lines(&parts);
    find_lacks(&parts);
    bool listed = true;
    for (int side = 0; side < 2; side++)
        for (int place = 0; place < 2; place++)
            listed &= parts.holes[side][place] != NULL;
    if (parts.inside != NULL && parts.outline != NULL) take_outline(&parts);
    if (parts.measured) measure_outside(&parts);
    if (listed) take_holes(&parts);
    if (!frame->mapped) return;
    take_tie_offs(&parts);
    take_guides(&parts);
    if (parts.measured) take_tape(&parts);
}

void resolve_frame(struct library *library, struct entry *entry) {
    size_t errors = library->report->blocking;
    build_frame(library, entry);
    entry->frame->flawed = entry->frame->damaged || library->report->blocking > errors;
}
