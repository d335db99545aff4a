/* From moves to lines: what belongs together goes together, about one line a pull. */
#include "emit/sheet.h"

#include "emit/felt.h"
#include "ground/rounding.h"
#include "ground/units.h"

#include <math.h>
#include <string.h>

const char *const sheet_cautions[] = {
    "Wear eye protection: string under tension and a loaded hoop can hurt.",
    "Stay within the tension range printed on the frame.",
    "The maker's instructions come first, before anything written here.",
    NULL,
};

const char *frame_title(const struct frame *frame) {
    return frame->title != NULL ? frame->title : frame->name;
}

const char *pattern_title(const struct pattern *pattern) {
    return pattern->title != NULL ? pattern->title : pattern->name;
}

const char *pattern_size(const struct frame *frame, struct arena *arena) {
    return format(arena, "%d x %d", frame->main_count, frame->cross_count);
}

/* The units of force, one of them first. */
static void order_units(enum unit first, enum unit units[3]) {
    static const enum unit usual[] = {UNIT_LB, UNIT_KG, UNIT_N};
    int count = 0;
    units[count++] = first;
    for (int i = 0; i < 3; i++)
        if (usual[i] != first) units[count++] = usual[i];
}

const char *pull_words(const struct pattern *pattern, struct arena *arena, int strand) {
    if (pattern->tensions[strand].pull <= 0) return "";
    return force_words(arena, set_pull(pattern, strand), pull_unit(pattern, strand), 2);
}

static bool same_tension(double a, double b) { return a - b < 1e-6 && b - a < 1e-6; }

/* "26.5 lb (12 kg, 117.9 N), asked for 26.4 lb": as the tensioner is set. */
static const char *tension_words(const struct pattern *pattern, struct arena *arena, int strand) {
    const struct pull_tension *tension = &pattern->tensions[strand];
    if (tension->pull <= 0) return "as agreed";
    enum unit units[3];
    order_units(pull_unit(pattern, strand), units);
    double set = set_pull(pattern, strand);
    const char *asked =
        same_tension(set, tension->pull)
            ? ""
            : format(arena, ", asked for %s", force_words(arena, tension->pull, tension->unit, 2));
    return format(arena, "%s (%s, %s)%s", pull_words(pattern, arena, strand),
                  force_words(arena, set, units[1], 1), force_words(arena, set, units[2], 1),
                  asked);
}

const char *strand_for_end(const struct pattern *pattern, int end, int strand) {
    const struct strand *at = &pattern->frame->strands[strand];
    bool own = at->side == SIDE_CENTRE || at->side == pattern->ends[end].side;
    const char *space = strchr(at->name, ' ');
    return own && space != NULL ? space + 1 : at->name;
}

/* A main met on the way needs no side where it lies on the side the strand enters at. */
static const char *met_words(const struct pattern *pattern, const struct move *move) {
    const struct strand *met = &pattern->frame->strands[move->first_met];
    const char *space = strchr(met->name, ' ');
    bool plain = met->side == pattern->frame->holes[move->enter].side && space != NULL;
    return plain ? space + 1 : met->name;
}

/* "9H right to left", "1H to 1T", "9H right to 10H left". */
static const char *way_words(const struct frame *frame, struct arena *arena, int enter, int leave) {
    const struct hole *from = &frame->holes[enter], *to = &frame->holes[leave];
    const char *from_id = from->id + (from->side != SIDE_CENTRE);
    const char *to_id = to->id + (to->side != SIDE_CENTRE);
    if (from->side == to->side || from->side == SIDE_CENTRE || to->side == SIDE_CENTRE)
        return format(arena, "%s to %s", from_id, to_id);
    if (strcmp(from_id, to_id) == 0)
        return format(arena, "%s %s to %s", from_id, side_word(from->side), side_word(to->side));
    return format(arena, "%s %s to %s %s", from_id, side_word(from->side), to_id,
                  side_word(to->side));
}

/* ---- lines ---- */

struct sheet_maker {
    const struct pattern *pattern;
    struct arena *arena;
    struct sheet *sheet;
    struct sheet_row *row;
    struct output hold, notes;
    bool tied; /* in this row */
    int pulls;
    bool *in_bed;
};

static void close_row(struct sheet_maker *m) {
    if (m->row == NULL) return;
    m->row->hold = m->hold.length > 0 ? output_text(&m->hold) : "";
    m->row->notes = m->notes.length > 0 ? output_text(&m->notes) : "";
    m->row = NULL;
}

static void open_row(struct sheet_maker *m, const struct move *move, int number) {
    close_row(m);
    m->hold = output_to(m->arena);
    m->notes = output_to(m->arena);
    m->tied = false;
    m->row = array_add(m->arena, &m->sheet->rows);
    *m->row = (struct sheet_row){.number = (int)m->sheet->rows.count,
                                 .end = end_word(m->pattern->ends[move->end].name),
                                 .enter = NO_HOLE,
                                 .leave = NO_HOLE,
                                 .threads = NO_STRAND,
                                 .pulls = NO_STRAND,
                                 .loop_words = "",
                                 .knot_words = "",
                                 .first_move = number};
}

static void say(struct output *out, const char *words) {
    if (out->length > 0) put(out, ", ");
    put(out, words);
}

static const struct loop *loop_into(const struct pattern *pattern, int end, int pass, bool tie) {
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        if (tie ? loop->kind == LOOP_TIE && loop->end == end
                : loop->kind == LOOP_BETWEEN && loop->end == end && loop->pass == pass)
            return loop;
        bool first =
            !tie && pass == 0 && pattern->ends[loop->end].string == pattern->ends[end].string;
        if (first && (loop->kind == LOOP_START || loop->kind == LOOP_FOLD)) return loop;
    }
    return NULL;
}

static bool waits_for_string(const struct sheet_maker *m, int hole) {
    const struct hole *at = &m->pattern->frame->holes[hole];
    for (int i = 0; i < at->strand_count; i++)
        if (!m->in_bed[at->strands[i]]) return true;
    return false;
}

/* What a loop wants of the hands: its lane, and room over holes that are still to be threaded. The
 * notes say it behind the loop's name; gives it back without. */
static const char *note_loop(struct sheet_maker *m, const struct loop *loop, const char *name) {
    if (loop == NULL) return "";
    const struct frame *frame = m->pattern->frame;
    struct output words = output_to(m->arena), room = output_to(m->arena);
    if (loop->lane_matters) {
        const char *lane = loop->lane == LANE_FRONT ? "in front" : "behind";
        say(&words, lane);
        say(&m->notes, format(m->arena, "%s %s", name, lane));
    }
    for (int i = 0; i < loop->pass_count; i++) {
        if (!waits_for_string(m, loop->passes[i])) continue;
        const struct hole *hole = &frame->holes[loop->passes[i]];
        put_format(&room, "%s%s", room.length > 0 ? " " : "",
                   hole->id + (hole->side != SIDE_CENTRE));
    }
    if (room.length > 0) {
        const char *leave = format(m->arena, "leave room at %s", output_text(&room));
        say(&words, leave);
        say(&m->notes, leave);
    }
    return output_text(&words);
}

static void add_thread(struct sheet_maker *m, const struct move *move) {
    const struct pattern *pattern = m->pattern;
    struct sheet_row *row = m->row;
    row->strand = strand_for_end(pattern, move->end, move->strand);
    row->woven = move->kind == MOVE_WEAVE;
    row->way = way_words(pattern->frame, m->arena, move->enter, move->leave);
    row->enter = move->enter;
    row->leave = move->leave;
    if (row->woven)
        row->first = format(m->arena, "%s %s", move->first_over ? "over" : "under",
                            met_words(pattern, move));
    row->threads = move->strand;
    m->in_bed[move->strand] = true;
    const struct loop *loop = loop_into(pattern, move->end, pattern->pass_of[move->strand], false);
    bool comes_later =
        loop != NULL && loop->kind == LOOP_START && pattern->ends[move->end].start_clamped;
    if (comes_later) return;
    row->loop = loop;
    row->loop_words = note_loop(m, loop, "loop");
}

static void add_pull(struct sheet_maker *m, const struct move *move) {
    m->row->pulls = move->strand;
    m->row->pulled = strand_for_end(m->pattern, move->end, move->strand);
    m->row->force = pull_words(m->pattern, m->arena, move->strand);
    m->row->tension = set_pull(m->pattern, move->strand);
    m->row->again = move->kind == MOVE_REPULL;
    if (!m->row->again) m->row->nth = ++m->pulls;
    if (move->at_start) say(&m->notes, "pull the tail at the start");
}

/* A clamp stands where its strand leaves the bed. */
static const char *leaving_hole(const struct pattern *pattern, const struct move *move) {
    const struct pass *pass = &pattern->ends[move->end].passes.at[pattern->pass_of[move->strand]];
    const struct hole *hole = &pattern->frame->holes[pass->leave];
    return hole->id + (hole->side != SIDE_CENTRE);
}

static void add_clamp(struct sheet_maker *m, const struct move *move) {
    const char *strand = strand_for_end(m->pattern, move->end, move->strand);
    if (move->anchor && move->clamp == CLAMP_FIXED)
        say(&m->hold, format(m->arena, "clamp %s %s by %s to hold the fold",
                             end_word(m->pattern->ends[move->end].name), strand,
                             leaving_hole(m->pattern, move)));
    else if (move->anchor)
        say(&m->hold, "starting clamp on the tail first");
    else
        say(&m->hold, move->clamp == CLAMP_FIXED ? "clamp" : "starting clamp outside");
}

static void add_release(struct sheet_maker *m, const struct move *move) {
    /* A fixed clamp that moves on to the next strand of its end needs no word. */
    if (move->clamp == CLAMP_STARTING)
        say(&m->hold, "starting clamp off");
    else if (m->tied)
        say(&m->hold, "clamp off");
}

static void add_tie(struct sheet_maker *m, const struct move *move) {
    const struct frame *frame = m->pattern->frame;
    const struct strand *around = &frame->strands[move->around];
    const char *main =
        strchr(around->name, ' ') != NULL ? strchr(around->name, ' ') + 1 : around->name;
    bool knot_first = move->at_start && m->row->pulled == NULL;
    say(&m->hold, format(m->arena, "%s at %s round %s", knot_first ? "start knot" : "tie",
                         frame->holes[move->hole].name, main));
    m->tied = true;
    if (knot_first) return;
    m->row->knot_loop = loop_into(m->pattern, move->end, 0, !move->at_start);
    m->row->knot_words = note_loop(m, m->row->knot_loop, "loop to the knot");
}

/* Whether a move opens a new line. */
static bool opens_row(const struct sheet_maker *m, const struct move *move) {
    const struct sheet_row *row = m->row;
    if (row == NULL) return true;
    bool same_end = strcmp(row->end, end_word(m->pattern->ends[move->end].name)) == 0;
    switch (move->kind) {
    case MOVE_THREAD:
    case MOVE_WEAVE: return true;
    case MOVE_REPULL: return true;
    case MOVE_PULL: return row->pulled != NULL || !same_end;
    case MOVE_TIE: return !same_end;
    case MOVE_CLAMP: return move->anchor ? row->pulled != NULL : !same_end;
    case MOVE_RELEASE: return false;
    }
    return true;
}

static void add_rows(struct sheet_maker *m) {
    const struct pattern *pattern = m->pattern;
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        if (opens_row(m, move)) open_row(m, move, (int)i);
        m->row->last_move = (int)i;
        switch (move->kind) {
        case MOVE_THREAD:
        case MOVE_WEAVE: add_thread(m, move); break;
        case MOVE_PULL:
        case MOVE_REPULL: add_pull(m, move); break;
        case MOVE_CLAMP: add_clamp(m, move); break;
        case MOVE_RELEASE: add_release(m, move); break;
        case MOVE_TIE: add_tie(m, move); break;
        }
    }
    close_row(m);
}

/* ---- head ---- */

static struct sheet_fact *add_fact(struct sheet_maker *m, enum sheet_matter about, const char *name,
                                   const char *text) {
    struct sheet_fact *fact = array_add(m->arena, &m->sheet->facts);
    *fact = (struct sheet_fact){.about = about, .name = name, .text = text};
    return fact;
}

static const char *metres(struct arena *arena, double mm) {
    struct output out = output_to(arena);
    put_fixed(&out, mm / 1000, 2);
    return format(arena, "%s m", output_text(&out));
}

/* The hole of a number and place where the sides mirror each other, else with its side. */
static void put_holes(struct output *out, const struct frame *frame,
                      bool (*wanted)(const struct frame *, int)) {
    for (int i = 0; i < frame->hole_count; i++) {
        const struct hole *hole = &frame->holes[i];
        if (!wanted(frame, i)) continue;
        int mirror = frame_hole(frame, other_side(hole->side), hole->number, hole->place);
        bool both = mirror != NO_HOLE && wanted(frame, mirror);
        if (both && hole->side == SIDE_LEFT) continue;
        put_format(out, "%s%s", out->length > 0 ? " " : "",
                   both && hole->side != SIDE_CENTRE ? hole->id + 1 : hole->name);
    }
}

/* Holes the mains pass over: they lie between the centre line and the outermost main. */
static bool skipped_by_mains(const struct frame *frame, int hole) {
    const struct hole *at = &frame->holes[hole];
    if (hole_main(frame, hole) != NO_STRAND) return false;
    for (int i = 0; i < frame->main_count; i++) {
        const struct hole *main =
            &frame->holes[frame->strands[i].holes[at->place == PLACE_HEAD ? 0 : 1]];
        if (main->side == at->side && main->number > at->number) return true;
    }
    return false;
}

static bool is_shared(const struct frame *frame, int hole) {
    return frame->holes[hole].strand_count > 1;
}
static bool is_unused(const struct frame *frame, int hole) {
    return frame->holes[hole].strand_count == 0;
}

static void put_hole_group(struct output *out, const struct frame *frame, struct arena *arena,
                           const char *words, bool (*wanted)(const struct frame *, int)) {
    struct output holes = output_to(arena);
    put_holes(&holes, frame, wanted);
    if (holes.length > 0) put_format(out, "; %s %s", words, output_text(&holes));
}

static const char *first_place(const struct pattern *pattern, int end) {
    const struct end *at = &pattern->ends[end];
    return pattern->frame->holes[at->passes.at[0].enter].name;
}

const char *sheet_shorthand(const struct pattern *pattern, struct arena *arena) {
    const struct frame *frame = pattern->frame;
    struct output out = output_to(arena);
    if (pattern->intents.pieces == 1)
        put_format(&out, "one piece, long side %s, ", side_word(pattern->ends[0].side));
    else
        put(&out, "two pieces, ");
    put_format(&out, "start %s and %s", first_place(pattern, 0), first_place(pattern, 1));
    put_hole_group(&out, frame, arena, "mains skip", skipped_by_mains);
    put_hole_group(&out, frame, arena, "shared", is_shared);
    put_hole_group(&out, frame, arena, "unused", is_unused);
    int cross = pattern_end(pattern, END_CROSS);
    if (cross != NO_END)
        put_format(&out, "; crosses start %s", frame->holes[pattern->ends[cross].start.hole].name);
    if (pattern->intents.crosses_from.place != PLACE_UNSAID) {
        put_format(&out, "; crosses from %s", place_word(pattern->intents.crosses_from.place));
        bool any = false;
        for (int i = 0; pattern->intents.skip.has != NULL && i < frame->strand_count; i++) {
            if (!pattern->intents.skip.has[i]) continue;
            put_format(&out, "%s %s", any ? "" : ", skip", frame->strands[i].name);
            any = true;
        }
    }
    put(&out, "; tie off ");
    for (int e = 0; e < pattern->end_count; e++)
        put_format(&out, "%s%s at %s", e > 0 ? ", " : "", end_word(pattern->ends[e].name),
                   frame->holes[pattern->ends[e].tie.hole].name);
    return output_text(&out);
}

/* "strands 2397 + walls 192 + ... - stretch 107 = 3173 mm": the terms that are not nothing, chosen
 * so that they add up as they stand here. */
static const char *cut_words(struct arena *arena, const struct cut *cut) {
    enum { TERMS = 7 };
    static const char *const words[TERMS] = {"strands", "walls", "weave",  "loops",
                                             "tail",    "reach", "stretch"};
    const double lengths[TERMS] = {cut->strands, cut->walls, cut->crimp,   cut->loops,
                                   cut->tail,    cut->reach, -cut->stretch};
    int64_t shown[TERMS], whole = llround(cut->cut);
    round_to_sum(lengths, shown, TERMS, whole);
    struct output out = output_to(arena);
    for (int i = 0; i < TERMS; i++) {
        int mm = (int)shown[i];
        if (mm == 0) continue;
        if (out.length > 0) put(&out, mm < 0 ? " - " : " + ");
        put_format(&out, "%s %d", words[i], mm < 0 ? -mm : mm);
    }
    put_format(&out, " = %d mm", (int)whole);
    return output_text(&out);
}

static const char *piece_words(const struct sheet_maker *m, const struct string_piece *piece) {
    struct arena *arena = m->arena;
    struct output out = output_to(arena);
    put_format(&out, "cut %s", metres(arena, piece->cut));
    if (piece->string != NULL)
        put_format(&out, " of %s",
                   piece->string->title != NULL ? piece->string->title : piece->string->name);
    if (piece->fold > 0)
        put_format(&out, "; fold mark %s from the tip of the %s end", metres(arena, piece->fold),
                   m->pattern->intents.pieces == 1 ? "short" : "left");
    if (piece->string != NULL && piece->string->length > 0)
        put_format(&out, piece->left < 0 ? "; of %s %s are missing" : "; of %s it leaves %s",
                   metres(arena, piece->string->length), metres(arena, fabs(piece->left)));
    if (piece->weight > 0)
        put_format(&out, "; %s g in the bed", format_decimal(arena, piece->weight, 1));
    put(&out, " (estimate)");
    return output_text(&out);
}

static void add_end_fact(struct sheet_maker *m, int e) {
    const struct pattern *pattern = m->pattern;
    const char *end = end_word(pattern->ends[e].name);
    struct sheet_fact *fact = add_fact(m, ABOUT_END, format(m->arena, "of it %s", end),
                                       cut_words(m->arena, &pattern->cuts[e]));
    fact->end = end;
    fact->terms = true;
}

static void add_string_facts(struct sheet_maker *m) {
    const struct pattern *pattern = m->pattern;
    for (int piece = 0; piece < pattern->string_count; piece++) {
        add_fact(m, ABOUT_STRING,
                 pattern->intents.pieces == 1 ? "String"
                 : piece == 0                 ? "String, mains"
                                              : "String, crosses",
                 piece_words(m, &pattern->pieces[piece]));
        for (int e = 0; e < pattern->end_count; e++)
            if (pattern->ends[e].string == piece) add_end_fact(m, e);
    }
    if (pattern->prestretch > 0)
        add_fact(m, ABOUT_PRESTRETCH, "Pre-stretch",
                 format(m->arena, "%s %%", format_decimal(m->arena, pattern->prestretch, 1)));
}

/* Strands of one tension: "mains, C2 to C18". */
static const char *tension_group(const struct sheet_maker *m, double tension) {
    const struct pattern *pattern = m->pattern;
    const struct frame *frame = pattern->frame;
    bool *wanted = arena_many(m->arena, bool, frame->strand_count + 1);
    int counts[] = {0, 0};
    for (int i = 0; i < frame->strand_count; i++) {
        wanted[i] = same_tension(pattern->tensions[i].pull, tension);
        counts[frame->strands[i].kind] += wanted[i];
    }
    bool all_mains = counts[MAIN] == frame->main_count,
         all_crosses = counts[CROSS] == frame->cross_count;
    if (all_mains && all_crosses) return "every strand";
    for (int i = 0; i < frame->strand_count; i++)
        if (frame->strands[i].kind == MAIN ? all_mains : all_crosses) wanted[i] = false;
    struct output out = output_to(m->arena);
    if (all_mains) say(&out, "mains");
    const char *others = strand_words(frame, m->arena, wanted);
    if (others[0] != '\0') say(&out, others);
    if (all_crosses) say(&out, "crosses");
    return output_text(&out);
}

/* "20 to 28 lb (9.1 to 12.7 kg, 89 to 124.6 N)" */
static const char *range_words(struct arena *arena, const struct frame *frame) {
    static const char *const before[] = {"", " (", ", "};
    enum unit units[3];
    order_units(frame->tension_unit, units);
    struct output out = output_to(arena);
    for (int i = 0; i < 3; i++) {
        put(&out, before[i]);
        put_decimal(&out, frame->least_tension / unit_factor(units[i]), i == 0 ? 2 : 1);
        put_format(&out, " to %s",
                   force_words(arena, frame->most_tension, units[i], i == 0 ? 2 : 1));
    }
    put_char(&out, ')');
    return output_text(&out);
}

static int count_of_tension(const struct pattern *pattern, double tension) {
    int count = 0;
    for (int i = 0; i < pattern->frame->strand_count; i++)
        count += same_tension(pattern->tensions[i].pull, tension);
    return count;
}

/* The first strand of the largest group of one tension that is not told yet; NO_STRAND where all
 * are. */
static int next_tension(const struct pattern *pattern, const bool *told) {
    int next = NO_STRAND, most = 0;
    for (int i = 0; i < pattern->frame->strand_count; i++) {
        int count = told[i] ? 0 : count_of_tension(pattern, pattern->tensions[i].pull);
        if (count <= most) continue;
        next = i;
        most = count;
    }
    return next;
}

static void add_tension_facts(struct sheet_maker *m) {
    const struct pattern *pattern = m->pattern;
    const struct frame *frame = pattern->frame;
    bool *told = arena_many(m->arena, bool, frame->strand_count + 1);
    for (int i; (i = next_tension(pattern, told)) != NO_STRAND;) {
        double tension = pattern->tensions[i].pull;
        add_fact(m, ABOUT_TENSION, "Tension",
                 format(m->arena, "%s: %s", tension_words(pattern, m->arena, i),
                        tension_group(m, tension)));
        for (int k = 0; k < frame->strand_count; k++)
            told[k] |= same_tension(pattern->tensions[k].pull, tension);
    }
    if (frame->most_tension > 0)
        add_fact(m, ABOUT_RANGE, "Printed range", range_words(m->arena, frame));
}

int step_of_move(const struct sheet *sheet, int move) {
    for (size_t i = 0; i < sheet->rows.count; i++)
        if (move <= sheet->rows.at[i].last_move) return sheet->rows.at[i].number;
    return 0;
}

static void add_clamp_facts(struct sheet_maker *m) {
    struct output out = output_to(m->arena);
    for (int kind = 0; kind < CLAMP_KINDS; kind++) {
        const struct clamp_use *use = &m->pattern->clamps[kind];
        if (use->used == 0) continue;
        put_format(&out, "%s%d %s, steps %d to %d", out.length > 0 ? "; " : "", use->used,
                   clamp_word((enum clamp_kind)kind), step_of_move(m->sheet, use->first_move),
                   step_of_move(m->sheet, use->last_move));
    }
    if (out.length > 0) put(&out, "; a fixed clamp stays until its end's next strand is pulled");
    add_fact(m, ABOUT_CLAMPS, "Clamps", output_text(&out));
}

/* "about 21 min (assumed pace): mount 1 x 180 s, thread 16 x 8 s, ..." */
static void add_time_fact(struct sheet_maker *m) {
    const struct pattern *pattern = m->pattern;
    const struct bench *bench = pattern->bench;
    int given = 0;
    for (int kind = 0; kind < PACES; kind++)
        given += bench->pace_given[kind];
    struct output out = output_to(m->arena);
    put(&out, "about ");
    put_fixed(&out, pattern->work.time / 60, 0);
    put_format(&out, " min%s",
               given == 0       ? " (assumed pace)"
               : given == PACES ? ""
                                : " (pace partly assumed)");
    const char *before = ": ";
    for (int kind = 0; kind < PACES; kind++) {
        if (pattern->work.count[kind] == 0) continue;
        put_format(&out, "%s%s %d x %s s", before, pace_word((enum pace)kind),
                   pattern->work.count[kind], format_decimal(m->arena, bench->pace[kind], 2));
        before = ", ";
    }
    add_fact(m, ABOUT_TIME, "Time", output_text(&out))->terms = true;
}

static void add_assumed_facts(struct sheet_maker *m) {
    struct output out = output_to(m->arena);
    for (size_t i = 0; i < m->pattern->assumed.count; i++)
        if (m->pattern->assumed.at[i].words != NULL) say(&out, m->pattern->assumed.at[i].words);
    if (out.length > 0) add_fact(m, ABOUT_ASSUMED, "Assumed", output_text(&out));
}

static void put_words(struct output *out, const char *head, const struct word_list *words) {
    for (size_t i = 0; i < words->count; i++)
        put_format(out, "%s%s", i > 0 ? ", " : head, words->at[i]);
}

static void add_play_facts(struct sheet_maker *m) {
    const struct play *play = &m->pattern->play;
    if (play->book == NULL) return;
    struct output out = output_to(m->arena);
    put_format(&out, "%s, %s", play->book->document, play->book->edition);
    if (play->book->material_edition != NULL)
        put_format(&out, ", for strings %s", play->book->material_edition);
    put_words(&out, "; beyond them: ", &play->beyond);
    put_words(&out, "; judged: ", &play->judged);
    put_words(&out, "; not judged: ", &play->not_judged);
    add_fact(m, ABOUT_PLAY, "Rules of play", output_text(&out));
}

static void add_notes(struct sheet_maker *m, const struct note_line *note) {
    for (; note != NULL; note = note->next)
        *array_add(m->arena, &m->sheet->notes) = note->text;
}

struct sheet *sheet_of(const struct pattern *pattern, struct arena *arena) {
    struct sheet *sheet = arena_one(arena, struct sheet);
    struct sheet_maker m = {.pattern = pattern,
                            .arena = arena,
                            .sheet = sheet,
                            .in_bed = arena_many(arena, bool, pattern->frame->strand_count + 1)};
    const struct frame *frame = pattern->frame;
    sheet->racket = frame_title(frame);
    sheet->pattern = pattern_title(pattern);
    add_rows(&m);
    add_fact(&m, ABOUT_RACKET, "Racket",
             format(arena, "%s%s%s, %s", sheet->racket, frame->sport != NULL ? ", " : "",
                    frame->sport != NULL ? frame->sport : "", pattern_size(frame, arena)));
    add_fact(&m, ABOUT_PATTERN, "Pattern",
             format(arena, "%s%s", sheet->pattern,
                    pattern->mirrored ? "; its sides exchanged, left for right" : ""));
    add_fact(&m, ABOUT_SHORTHAND, "In short", sheet_shorthand(pattern, arena));
    add_fact(&m, ABOUT_VIEW, "View", "left and right as seen from the front, head up");
    add_string_facts(&m);
    add_tension_facts(&m);
    add_clamp_facts(&m);
    add_time_fact(&m);
    add_play_facts(&m);
    add_assumed_facts(&m);
    if (pattern->bed != NULL) mark_loads(sheet, pattern->bed, arena);
    add_notes(&m, frame->notes);
    add_notes(&m, pattern->notes);
    if (pattern->mains_string != NULL) add_notes(&m, pattern->mains_string->notes);
    if (pattern->crosses_string != NULL && pattern->crosses_string != pattern->mains_string)
        add_notes(&m, pattern->crosses_string->notes);
    add_notes(&m, pattern->bench->notes);
    return sheet;
}
