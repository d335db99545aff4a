/* Everything derived, as JSON (docs/export.schema.json). Lengths in mm, tensions in N, rounded to a
 * thousandth. */
#include "emit/emit.h"
#include "frame/bed.h"
#include "ground/json.h"

#include <string.h>

struct export {
    struct json json; /* first, so that a writer is also what it writes about */
    const struct pattern *pattern;
};

static const struct pattern *pattern_of(const struct json *j) {
    return ((const struct export *)j)->pattern;
}

static const struct frame *frame_of(const struct json *j) { return pattern_of(j)->frame; }

static const char *hole_id(const struct json *j, int hole) { return frame_of(j)->holes[hole].id; }
static const char *strand_id(const struct json *j, int strand) {
    return frame_of(j)->strands[strand].id;
}

/* ---- frame ---- */

static void put_outline(struct json *j) {
    const struct outline *outline = &frame_of(j)->outline;
    json_line(j);
    json_open(j, "outline");
    json_string(j, "kind", outline->kind == STATIONS ? "stations" : "superellipse");
    json_real(j, "width", outline->width);
    json_real(j, "length", outline->length);
    json_real(j, "wall", frame_of(j)->wall);
    if (outline->kind == OVAL) {
        json_real(j, "exponent", outline->exponent);
        json_real(j, "taper", outline->taper);
    } else {
        json_open_list(j, "stations");
        for (int i = 0; i < outline->station_count; i++) {
            json_open(j, NULL);
            json_real(j, "half_width", outline->stations[i].half_width);
            json_real(j, "y", outline->stations[i].y);
            json_close(j);
        }
        json_close_list(j);
    }
    json_close(j);
}

static void put_holes(struct json *j) {
    const struct frame *frame = frame_of(j);
    json_open_rows(j, "holes");
    for (int i = 0; i < frame->hole_count; i++) {
        const struct hole *hole = &frame->holes[i];
        json_open_row(j);
        json_string(j, "id", hole->id);
        json_string(j, "side", side_word(hole->side));
        json_string(j, "place", place_word(hole->place));
        json_int(j, "number", hole->number);
        json_real(j, "x", hole->at.x);
        json_real(j, "y", hole->at.y);
        json_real(j, "arc", hole->arc);
        json_open_list(j, "strands");
        for (int k = 0; k < hole->strand_count; k++)
            json_text(j, strand_id(j, hole->strands[k]));
        json_close_list(j);
        json_bool(j, "tie_off", hole->tie_off);
        json_close(j);
    }
    json_close_rows(j);
}

static void put_guides(struct json *j) {
    json_line(j);
    json_open_list(j, "guides");
    for (int i = 0; i < frame_of(j)->hole_count; i++) {
        if (frame_of(j)->holes[i].guide == LANE_UNSAID) continue;
        json_open(j, NULL);
        json_string(j, "hole", hole_id(j, i));
        json_string(j, "lane", lane_word(frame_of(j)->holes[i].guide));
        json_close(j);
    }
    json_close_list(j);
}

static void put_bed(struct json *j) {
    struct extent extent = bed_extent(frame_of(j));
    json_open(j, "bed");
    json_real(j, "length", extent.throat - extent.head);
    json_real(j, "width", extent.right - extent.left);
    json_real(j, "area", bed_area(frame_of(j)));
    json_close(j);
}

static void put_frame(struct json *j) {
    const struct frame *frame = frame_of(j);
    json_line(j);
    json_open(j, "frame");
    j->depth++;
    json_line(j);
    json_string(j, "name", frame->name);
    json_given(j, "title", frame->title);
    json_given(j, "sport", frame->sport);
    json_line(j);
    json_int(j, "lanes", frame->lanes);
    json_real(j, "perimeter", 2 * frame->outline.half_arc);
    json_real(j, "area", frame->outline.area);
    put_bed(j);
    if (frame->overall_length > 0) {
        json_open(j, "overall");
        json_real(j, "length", frame->overall_length);
        json_real(j, "width", frame->overall_width);
        json_close(j);
    }
    if (frame->squeeze_wide > 0) {
        json_open(j, "squeeze");
        json_real(j, "wide", frame->squeeze_wide);
        if (frame->squeeze_long > 0) json_real(j, "long", frame->squeeze_long);
        json_close(j);
    }
    if (frame->most_tension > 0) {
        json_open(j, "tension");
        json_real(j, "least", frame->least_tension);
        json_real(j, "most", frame->most_tension);
        json_close(j);
    }
    if (frame->crosses_from.place != PLACE_UNSAID)
        json_string(j, "crosses_from", place_word(frame->crosses_from.place));
    put_outline(j);
    put_guides(j);
    put_holes(j);
    j->depth--;
    json_line(j);
    json_close(j);
}

static void put_strands(struct json *j) {
    json_open_rows(j, "strands");
    for (int i = 0; i < frame_of(j)->strand_count; i++) {
        const struct strand *strand = &frame_of(j)->strands[i];
        json_open_row(j);
        json_string(j, "id", strand->id);
        json_string(j, "kind", strand->kind == MAIN ? "main" : "cross");
        json_int(j, "index", strand->number);
        json_open_list(j, "holes");
        for (int k = 0; k < 2; k++)
            json_text(j, hole_id(j, strand->holes[k]));
        json_close_list(j);
        json_real(j, "length", strand->length);
        json_close(j);
    }
    json_close_rows(j);
}

/* ---- what the author wrote ---- */

static void put_ahead(struct json *j, int first, int then) {
    json_open(j, "pull_ahead");
    json_int(j, "first", first);
    json_int(j, "then", then);
    json_close(j);
}

/* Strands that wait, and those that one end is to string. */
static void put_waits(struct json *j, const struct intents *intents) {
    const struct pattern *pattern = pattern_of(j);
    if (intents->holds.count > 0) {
        json_open_list(j, "hold");
        for (int i = 0; i < frame_of(j)->strand_count; i++)
            if (is_held(pattern, i)) json_text(j, strand_id(j, i));
        json_close_list(j);
    }
    if (intents->by == NULL) return;
    json_open(j, "by");
    for (int e = 0; e < pattern->end_count; e++) {
        json_open_list(j, end_word(pattern->ends[e].name));
        for (int i = 0; i < frame_of(j)->strand_count; i++)
            if (span_given(intents->by[i].span) && intents->by[i].end == e)
                json_text(j, strand_id(j, i));
        json_close_list(j);
    }
    json_close(j);
}

static void put_intents(struct json *j) {
    const struct intents *intents = &pattern_of(j)->intents;
    json_line(j);
    json_open(j, "intents");
    if (span_given(intents->long_side.span))
        json_string(j, "long_side", side_word(intents->long_side.side));
    if (intents->crosses_from.place != PLACE_UNSAID)
        json_string(j, "crosses_from", place_word(intents->crosses_from.place));
    if (intents->skip.has != NULL) {
        json_open_list(j, "skip");
        for (int i = 0; i < frame_of(j)->strand_count; i++)
            if (intents->skip.has[i]) json_text(j, strand_id(j, i));
        json_close_list(j);
    }
    if (span_given(intents->mains_from.span))
        json_string(j, "mains_from", place_word(intents->mains_from.place));
    if (span_given(intents->begins_span)) json_string(j, "begins", end_word(intents->begins));
    if (intents->ahead_given) put_ahead(j, intents->ahead_first, intents->ahead_then);
    put_waits(j, intents);
    if (span_given(intents->around_span)) json_bool(j, "around_the_world", true);
    if (span_given(intents->loops_span)) json_real(j, "loops_up_to", intents->loops_most);
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        if (span_given(intents->clamps_span[kind]))
            json_int(j, kind == CLAMP_FIXED ? "fixed_clamps" : "starting_clamps",
                     intents->clamps_most[kind]);
    if (intents->finish_at.place != PLACE_UNSAID)
        json_string(j, "finish_at", place_word(intents->finish_at.place));
    if (span_given(intents->aims_span)) {
        json_open_list(j, "aims");
        for (int i = 0; i < AIMS; i++)
            json_text(j, aim_word(intents->aims[i]));
        json_close_list(j);
    }
    json_close(j);
}

static void put_run(struct json *j, const struct run *run) {
    static const char *const verbs[] = {"thread and pull", "thread", "pull"};
    json_string(j, "do", verbs[run->verb]);
    json_open_list(j, "strands");
    for (int k = 0; k < run->count; k++)
        json_text(j, strand_id(j, run->strands[k]));
    json_close_list(j);
    if (run->from_side != SIDE_UNSAID) json_string(j, "from", side_word(run->from_side));
    if (run->from_place != PLACE_UNSAID) json_string(j, "from", place_word(run->from_place));
    if (run->first != START_UNSTATED)
        json_string(j, "first", run->first == START_OVER ? "over" : "under");
}

static void put_leg_item(struct json *j, const struct end *end, const struct leg_item *item) {
    json_open(j, NULL);
    if (item->kind == LEG_RUN) {
        put_run(j, &item->run);
    } else {
        bool start = item->kind == LEG_START;
        json_string(j, "do", start ? "start" : "tie");
        json_string(j, "hole", hole_id(j, start ? end->start.hole : end->tie.hole));
        if (start) json_string(j, "by", item->clamped ? "clamp" : "knot");
    }
    json_close(j);
}

static void put_legs(struct json *j) {
    const struct pattern *pattern = pattern_of(j);
    json_open_rows(j, "legs");
    for (size_t i = 0; i < pattern->legs.count; i++) {
        const struct leg *leg = &pattern->legs.at[i];
        json_open_row(j);
        json_open_list(j, "ends");
        json_text(j, end_word(leg->end));
        if (leg->both) json_text(j, end_word(leg->other));
        json_close_list(j);
        json_open_list(j, "items");
        for (size_t k = 0; k < leg->items.count; k++)
            put_leg_item(j, &pattern->ends[pattern_end(pattern, leg->end)], &leg->items.at[k]);
        json_close_list(j);
        if (leg->thread_ahead > 0) json_int(j, "thread_ahead", leg->thread_ahead);
        if (leg->both) put_ahead(j, leg->ahead_first, leg->ahead_then);
        if (pattern->found != NULL) json_given(j, "why", pattern->found->why[i]);
        json_close(j);
    }
    json_close_rows(j);
}

/* What a search found besides the legs that say why. */
static void put_found(struct json *j) {
    const struct pattern *pattern = pattern_of(j);
    const struct found_legs *found = pattern->found;
    if (found == NULL) return;
    json_line(j);
    json_open(j, "found");
    json_bool(j, "proved", found->proved);
    enum place mains_from = pattern->intents.mains_from.place;
    if (mains_from != PLACE_UNSAID) json_string(j, "mains_from", place_word(mains_from));
    if (found->crosses_from != PLACE_UNSAID)
        json_string(j, "crosses_from", place_word(found->crosses_from));
    json_close(j);
}

static void put_pattern(struct json *j) {
    const struct pattern *pattern = pattern_of(j);
    json_line(j);
    json_open(j, "pattern");
    json_string(j, "name", pattern->name);
    json_given(j, "title", pattern->title);
    json_int(j, "pieces", pattern->intents.pieces);
    if (pattern->intents.pieces == 1)
        json_string(j, "long_side", side_word(pattern->intents.long_side.side));
    if (pattern->prestretch > 0) json_real(j, "prestretch", pattern->prestretch);
    if (pattern->mirrored) json_bool(j, "mirrored", true);
    json_close(j);
}

static void put_clamps(struct json *j, int fixed, int starting) {
    json_open(j, "clamps");
    json_int(j, clamp_word(CLAMP_FIXED), fixed);
    json_int(j, clamp_word(CLAMP_STARTING), starting);
    json_close(j);
}

static void put_mount(struct json *j, const struct bench *bench) {
    const struct mount *bearing = &bench->bearing;
    json_given(j, "mount", bench->mount);
    if (bearing->points != NULL) {
        json_open_list(j, "mount_points");
        for (int i = 0; i < bearing->point_count; i++) {
            json_open(j, NULL);
            json_real(j, "clock", bearing->points[i].clock);
            json_string(j, "from", bearing->points[i].inside ? "inside" : "outside");
            json_close(j);
        }
        json_close_list(j);
    }
    if (bearing->stiffness > 0) json_real(j, "mount_stiffness", bearing->stiffness);
}

static void put_bench(struct json *j) {
    const struct bench *bench = pattern_of(j)->bench;
    json_line(j);
    json_open(j, "bench");
    json_given(j, "name", bench->name);
    json_given(j, "title", bench->title);
    put_clamps(j, bench->clamps[CLAMP_FIXED], bench->clamps[CLAMP_STARTING]);
    json_real(j, "reach", bench->reach);
    put_mount(j, bench);
    if (bench->draw_back_given) json_real(j, "draw_back", bench->draw_back);
    json_open(j, "pace");
    for (int kind = 0; kind < PACES; kind++)
        json_real(j, pace_word((enum pace)kind), bench->pace[kind]);
    json_close(j);
    json_close(j);
}

/* ---- what is derived ---- */

static void put_pieces(struct json *j) {
    const struct pattern *pattern = pattern_of(j);
    json_open_rows(j, "strings");
    for (int piece = 0; piece < pattern->string_count; piece++) {
        const struct string *string = piece == 0 ? pattern->mains_string : pattern->crosses_string;
        const struct string_piece *at = &pattern->pieces[piece];
        json_open_row(j);
        json_open_list(j, "ends");
        for (int e = 0; e < pattern->end_count; e++) {
            if (pattern->ends[e].string != piece) continue;
            json_text(j, end_word(pattern->ends[e].name));
        }
        json_close_list(j);
        json_key(j, "string");
        if (string != NULL)
            json_text(j, string->name);
        else
            json_null(j);
        if (string != NULL) json_given(j, "material", string->material);
        json_real(j, "cut", at->cut);
        if (at->fold > 0) json_real(j, "fold", at->fold);
        json_real(j, "gauge", at->gauge);
        if (string != NULL && string->stretch_at > 0) {
            json_open(j, "stretch");
            json_real(j, "percent", string->stretch);
            json_real(j, "at", string->stretch_at);
            json_close(j);
        }
        if (string != NULL && string->stiffness > 0) json_real(j, "stiffness", string->stiffness);
        if (density_of(string) > 0) json_real(j, "density", density_of(string));
        if (string != NULL && string->length > 0) {
            json_real(j, "length", string->length);
            json_real(j, "left", at->left);
        }
        if (at->weight > 0) json_real(j, "weight", at->weight);
        json_close(j);
    }
    json_close_rows(j);
}

static void put_knot(struct json *j, const char *key, const struct knot *knot, const char *by) {
    json_open(j, key);
    json_string(j, "hole", hole_id(j, knot->hole));
    if (knot->around != NO_STRAND) json_string(j, "around", strand_id(j, knot->around));
    json_given(j, "by", by);
    json_close(j);
}

static void put_cut(struct json *j, const struct cut *cut) {
    json_open(j, "string");
    json_real(j, "strands", cut->strands);
    json_real(j, "walls", cut->walls);
    json_real(j, "crimp", cut->crimp);
    json_real(j, "loops", cut->loops);
    json_real(j, "tail", cut->tail);
    json_real(j, "reach", cut->reach);
    json_real(j, "stretch", cut->stretch);
    json_real(j, "bed", cut->bed);
    json_real(j, "cut", cut->cut);
    json_close(j);
}

static void put_ends(struct json *j) {
    const struct pattern *pattern = pattern_of(j);
    json_open_rows(j, "ends");
    for (int e = 0; e < pattern->end_count; e++) {
        const struct end *end = &pattern->ends[e];
        json_open_row(j);
        json_string(j, "name", end_word(end->name));
        if (end->start.hole != NO_HOLE)
            put_knot(j, "start", &end->start, end->start_clamped ? "clamp" : "knot");
        put_knot(j, "tie", &end->tie, NULL);
        put_cut(j, &pattern->cuts[e]);
        j->depth++;
        json_open_rows(j, "route");
        for (size_t i = 0; i < end->passes.count; i++) {
            const struct pass *pass = &end->passes.at[i];
            json_open_row(j);
            json_string(j, "strand", strand_id(j, pass->strand));
            json_string(j, "enter", hole_id(j, pass->enter));
            json_string(j, "leave", hole_id(j, pass->leave));
            json_close(j);
        }
        json_close_rows(j);
        j->depth--;
        json_line(j);
        json_close(j);
    }
    json_close_rows(j);
}

static void put_loops(struct json *j) {
    static const char *const kinds[] = {"fold", "start", "loop", "tie"};
    const struct pattern *pattern = pattern_of(j);
    json_open_rows(j, "loops");
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        json_open_row(j);
        json_string(j, "end", end_word(pattern->ends[loop->end].name));
        json_string(j, "kind", kinds[loop->kind]);
        json_string(j, "from", hole_id(j, loop->from));
        json_string(j, "to", hole_id(j, loop->to));
        json_real(j, "length", loop->length);
        json_real(j, "outside", loop->outside);
        json_open_list(j, "passes");
        for (int k = 0; k < loop->pass_count; k++)
            json_text(j, hole_id(j, loop->passes[k]));
        json_close_list(j);
        json_string(j, "lane", lane_word(loop->lane));
        json_int(j, "over", loop->over);
        json_close(j);
    }
    json_close_rows(j);
}

static void put_weave(struct json *j) {
    json_open_rows(j, "weave");
    for (size_t i = 0; i < pattern_of(j)->crossings.count; i++) {
        const struct crossing *crossing = &pattern_of(j)->crossings.at[i];
        json_open_row(j);
        json_string(j, "main", strand_id(j, crossing->main));
        json_string(j, "cross", strand_id(j, crossing->cross));
        json_string(j, "over",
                    strand_id(j, crossing->main_over ? crossing->main : crossing->cross));
        json_close(j);
    }
    json_close_rows(j);
}

static void put_clamp_name(struct json *j, const struct move *move) {
    char store[16];
    const char *word = clamp_word(move->clamp);
    size_t length = strlen(word);
    memcpy(store, word, length);
    store[length++] = '-';
    store[length++] = (char)('0' + move->clamp_number);
    store[length] = '\0';
    json_string(j, "clamp", store);
}

static void put_moves(struct json *j) {
    static const char *const kinds[] = {"thread", "weave",   "pull", "repull",
                                        "clamp",  "release", "tie"};
    const struct pattern *pattern = pattern_of(j);
    json_open_rows(j, "moves");
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        json_open_row(j);
        json_int(j, "n", (int)i + 1);
        json_string(j, "do", kinds[move->kind]);
        json_string(j, "end", end_word(pattern->ends[move->end].name));
        json_string(j, "strand", strand_id(j, move->strand));
        if (move->enter != NO_HOLE) json_string(j, "enter", hole_id(j, move->enter));
        if (move->leave != NO_HOLE) json_string(j, "leave", hole_id(j, move->leave));
        if (move->kind == MOVE_WEAVE) {
            json_string(j, "meets", strand_id(j, move->first_met));
            json_string(j, "first", move->first_over ? "over" : "under");
        }
        if (move->tension > 0) {
            json_real(j, "tension", move->tension);
            json_real(j, "set", set_pull(pattern_of(j), move->strand));
        }
        if (move->kind == MOVE_CLAMP || move->kind == MOVE_RELEASE) put_clamp_name(j, move);
        if (move->anchor) json_bool(j, "anchor", true);
        if (move->at_start) json_string(j, "at", "start");
        if (move->hole != NO_HOLE) json_string(j, "hole", hole_id(j, move->hole));
        if (move->around != NO_STRAND) json_string(j, "around", strand_id(j, move->around));
        json_close(j);
    }
    json_close_rows(j);
}

static void put_totals(struct json *j) {
    const struct pattern *pattern = pattern_of(j);
    double loops = 0, longest = 0, cut = 0;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        loops += pattern->loops.at[i].length;
        if (pattern->loops.at[i].length > longest) longest = pattern->loops.at[i].length;
    }
    for (int e = 0; e < pattern->end_count; e++)
        cut += pattern->cuts[e].cut;
    json_line(j);
    json_open(j, "totals");
    json_real(j, "loops", loops);
    json_real(j, "longest_loop", longest);
    json_real(j, "cut", cut);
    put_clamps(j, pattern->clamps[CLAMP_FIXED].used, pattern->clamps[CLAMP_STARTING].used);
    json_real(j, "time", pattern->work.time);
    json_open(j, "work");
    for (int kind = 0; kind < PACES; kind++)
        json_int(j, pace_word((enum pace)kind), pattern->work.count[kind]);
    json_close(j);
    json_close(j);
}

static void put_words(struct json *j, const char *key, const struct word_list *words) {
    json_open_list(j, key);
    for (size_t i = 0; i < words->count; i++)
        json_text(j, words->at[i]);
    json_close_list(j);
}

static void put_play(struct json *j) {
    const struct play *play = &pattern_of(j)->play;
    if (play->book == NULL) return;
    json_line(j);
    json_open(j, "play");
    json_string(j, "sport", play->book->sport);
    json_string(j, "document", play->book->document);
    json_string(j, "edition", play->book->edition);
    put_words(j, "judged", &play->judged);
    put_words(j, "not_judged", &play->not_judged);
    put_words(j, "beyond", &play->beyond);
    json_close(j);
}

static void put_assumed(struct json *j) {
    json_line(j);
    json_open_list(j, "assumed");
    for (size_t i = 0; i < pattern_of(j)->assumed.count; i++)
        json_text(j, pattern_of(j)->assumed.at[i].what);
    json_close_list(j);
}

static void put_findings(struct json *j) {
    json_open_rows(j, "findings");
    for (size_t i = 0; i < pattern_of(j)->remarks.count; i++) {
        const struct remark *remark = pattern_of(j)->remarks.at[i];
        json_open_row(j);
        json_string(j, "code", remark->code);
        json_string(j, "severity", remark->severity);
        json_string(j, "title", remark->title);
        json_string(j, "message", remark->message);
        if (remark->file != NULL) {
            json_string(j, "file", remark->file);
            json_int(j, "line", (int)remark->line);
            json_int(j, "column", (int)remark->column);
        }
        json_close(j);
    }
    json_close_rows(j);
}

void emit_export(const struct pattern *pattern, struct output *out) {
    struct export export = {.pattern = pattern};
    struct json *j = &export.json;
    json_begin_text(j, out, "selvage/1");
    put_frame(j);
    put_strands(j);
    put_pattern(j);
    put_intents(j);
    put_legs(j);
    put_found(j);
    put_bench(j);
    put_pieces(j);
    put_ends(j);
    put_loops(j);
    put_weave(j);
    put_moves(j);
    put_totals(j);
    put_play(j);
    put_assumed(j);
    put_findings(j);
    json_end_text(j);
}
