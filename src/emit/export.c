/* Everything derived, as JSON (docs/export.schema.json). The only file that knows yajl, which sees
 * to commas, nesting and escapes. Lengths in mm, tensions in N, rounded to a thousandth. */
#include "emit/emit.h"

#include <string.h>
#include <yajl/yajl_gen.h>

struct json {
    const struct pattern *pattern;
    const struct frame *frame;
    struct output *out;
    yajl_gen gen;
    int depth;
    bool new_line; /* what comes next begins a line */
};

/* ---- the writer ---- */

static void *get_memory(void *arena, size_t size) { return arena_try(arena, size); }
static void put_memory(void *arena, void *memory) {
    (void)arena;
    (void)memory;
}

/* yajl grows nothing while its text goes straight out. */
static void *grow_memory(void *arena, void *memory, size_t size) {
    (void)memory;
    return arena_try(arena, size);
}

/* Takes what yajl writes, and breaks lines before what begins one; a comma stays on its line. */
static void write_part(void *context, const char *bytes, size_t length) {
    struct json *j = context;
    bool comma = length == 1 && bytes[0] == ',';
    if (j->new_line && !comma) {
        put_char(j->out, '\n');
        put_repeat(j->out, ' ', (size_t)j->depth * 2);
        j->new_line = false;
    }
    put_bytes(j->out, bytes, length);
}

static void put_text(struct json *j, const char *text) {
    yajl_gen_string(j->gen, (const unsigned char *)text, strlen(text));
}

static void put_key(struct json *j, const char *key) {
    if (key != NULL) put_text(j, key);
}

static void put_string(struct json *j, const char *key, const char *value) {
    put_key(j, key);
    put_text(j, value);
}

static void put_given(struct json *j, const char *key, const char *value) {
    if (value != NULL) put_string(j, key, value);
}

static void put_int(struct json *j, const char *key, int value) {
    put_key(j, key);
    yajl_gen_integer(j->gen, value);
}

static void put_real(struct json *j, const char *key, double value) {
    char store[40];
    struct output digits = {.arena = j->out->arena, .at = store, .room = sizeof store};
    put_decimal(&digits, value, 3);
    put_key(j, key);
    yajl_gen_number(j->gen, digits.at, digits.length);
}

static void put_bool(struct json *j, const char *key, bool value) {
    put_key(j, key);
    yajl_gen_bool(j->gen, value);
}

static void open_object(struct json *j, const char *key) {
    put_key(j, key);
    yajl_gen_map_open(j->gen);
}

static void close_object(struct json *j) { yajl_gen_map_close(j->gen); }

static void open_array(struct json *j, const char *key) {
    put_key(j, key);
    yajl_gen_array_open(j->gen);
}

static void close_array(struct json *j) { yajl_gen_array_close(j->gen); }

/* A member of the root or of the frame on a line of its own. */
static void line(struct json *j) { j->new_line = true; }

/* An array with a line for each object in it. */
static void open_rows(struct json *j, const char *key) {
    line(j);
    open_array(j, key);
    j->depth++;
}

static void open_row(struct json *j) {
    line(j);
    open_object(j, NULL);
}

static void close_rows(struct json *j) {
    j->depth--;
    line(j);
    close_array(j);
}

static const char *hole_id(const struct json *j, int hole) { return j->frame->holes[hole].id; }
static const char *strand_id(const struct json *j, int strand) {
    return j->frame->strands[strand].id;
}

/* ---- frame ---- */

static void put_outline(struct json *j) {
    const struct outline *outline = &j->frame->outline;
    line(j);
    open_object(j, "outline");
    put_string(j, "kind", outline->kind == STATIONS ? "stations" : "superellipse");
    put_real(j, "width", outline->width);
    put_real(j, "length", outline->length);
    put_real(j, "wall", j->frame->wall);
    if (outline->kind == OVAL) {
        put_real(j, "exponent", outline->exponent);
        put_real(j, "taper", outline->taper);
    } else {
        open_array(j, "stations");
        for (int i = 0; i < outline->station_count; i++) {
            open_object(j, NULL);
            put_real(j, "half_width", outline->stations[i].half_width);
            put_real(j, "y", outline->stations[i].y);
            close_object(j);
        }
        close_array(j);
    }
    close_object(j);
}

static void put_holes(struct json *j) {
    const struct frame *frame = j->frame;
    open_rows(j, "holes");
    for (int i = 0; i < frame->hole_count; i++) {
        const struct hole *hole = &frame->holes[i];
        open_row(j);
        put_string(j, "id", hole->id);
        put_string(j, "side", side_word(hole->side));
        put_string(j, "place", place_word(hole->place));
        put_int(j, "number", hole->number);
        put_real(j, "x", hole->at.x);
        put_real(j, "y", hole->at.y);
        put_real(j, "arc", hole->arc);
        open_array(j, "strands");
        for (int k = 0; k < hole->strand_count; k++)
            put_text(j, strand_id(j, hole->strands[k]));
        close_array(j);
        put_bool(j, "tie_off", hole->tie_off);
        close_object(j);
    }
    close_rows(j);
}

static void put_guides(struct json *j) {
    line(j);
    open_array(j, "guides");
    for (int i = 0; i < j->frame->hole_count; i++) {
        if (j->frame->holes[i].guide == LANE_UNSAID) continue;
        open_object(j, NULL);
        put_string(j, "hole", hole_id(j, i));
        put_string(j, "lane", lane_word(j->frame->holes[i].guide));
        close_object(j);
    }
    close_array(j);
}

static void put_frame(struct json *j) {
    const struct frame *frame = j->frame;
    line(j);
    open_object(j, "frame");
    j->depth++;
    line(j);
    put_string(j, "name", frame->name);
    put_given(j, "title", frame->title);
    put_given(j, "sport", frame->sport);
    line(j);
    put_int(j, "lanes", frame->lanes);
    put_real(j, "perimeter", 2 * frame->outline.half_arc);
    put_real(j, "area", frame->outline.area);
    if (frame->most_tension > 0) {
        open_object(j, "tension");
        put_real(j, "least", frame->least_tension);
        put_real(j, "most", frame->most_tension);
        close_object(j);
    }
    if (frame->crosses_from.place != PLACE_UNSAID)
        put_string(j, "crosses_from", place_word(frame->crosses_from.place));
    put_outline(j);
    put_guides(j);
    put_holes(j);
    j->depth--;
    line(j);
    close_object(j);
}

static void put_strands(struct json *j) {
    open_rows(j, "strands");
    for (int i = 0; i < j->frame->strand_count; i++) {
        const struct strand *strand = &j->frame->strands[i];
        open_row(j);
        put_string(j, "id", strand->id);
        put_string(j, "kind", strand->kind == MAIN ? "main" : "cross");
        put_int(j, "index", strand->number);
        open_array(j, "holes");
        for (int k = 0; k < 2; k++)
            put_text(j, hole_id(j, strand->holes[k]));
        close_array(j);
        put_real(j, "length", strand->length);
        close_object(j);
    }
    close_rows(j);
}

/* ---- what the author wrote ---- */

static void put_ahead(struct json *j, int first, int then) {
    open_object(j, "pull_ahead");
    put_int(j, "first", first);
    put_int(j, "then", then);
    close_object(j);
}

static void put_intents(struct json *j) {
    const struct intents *intents = &j->pattern->intents;
    line(j);
    open_object(j, "intents");
    if (span_given(intents->long_side.span))
        put_string(j, "long_side", side_word(intents->long_side.side));
    if (intents->crosses_from.place != PLACE_UNSAID)
        put_string(j, "crosses_from", place_word(intents->crosses_from.place));
    if (intents->skip.has != NULL) {
        open_array(j, "skip");
        for (int i = 0; i < j->frame->strand_count; i++)
            if (intents->skip.has[i]) put_text(j, strand_id(j, i));
        close_array(j);
    }
    if (intents->mains_from.place != PLACE_UNSAID)
        put_string(j, "mains_from", place_word(intents->mains_from.place));
    if (span_given(intents->begins_span)) put_string(j, "begins", end_word(intents->begins));
    if (intents->ahead_given) put_ahead(j, intents->ahead_first, intents->ahead_then);
    close_object(j);
}

static void put_run(struct json *j, const struct run *run) {
    static const char *const verbs[] = {"thread and pull", "thread", "pull"};
    put_string(j, "do", verbs[run->verb]);
    open_array(j, "strands");
    for (int k = 0; k < run->count; k++)
        put_text(j, strand_id(j, run->strands[k]));
    close_array(j);
    if (run->from_side != SIDE_UNSAID) put_string(j, "from", side_word(run->from_side));
    if (run->from_place != PLACE_UNSAID) put_string(j, "from", place_word(run->from_place));
    if (run->first != START_UNSTATED)
        put_string(j, "first", run->first == START_OVER ? "over" : "under");
}

static void put_leg_item(struct json *j, const struct end *end, const struct leg_item *item) {
    open_object(j, NULL);
    if (item->kind == LEG_RUN) {
        put_run(j, &item->run);
    } else {
        bool start = item->kind == LEG_START;
        put_string(j, "do", start ? "start" : "tie");
        put_string(j, "hole", hole_id(j, start ? end->start.hole : end->tie.hole));
        if (start) put_string(j, "by", item->clamped ? "clamp" : "knot");
    }
    close_object(j);
}

static void put_legs(struct json *j) {
    const struct pattern *pattern = j->pattern;
    open_rows(j, "legs");
    for (size_t i = 0; i < pattern->legs.count; i++) {
        const struct leg *leg = &pattern->legs.at[i];
        open_row(j);
        open_array(j, "ends");
        put_text(j, end_word(leg->end));
        if (leg->both) put_text(j, end_word(leg->other));
        close_array(j);
        open_array(j, "items");
        for (size_t k = 0; k < leg->items.count; k++)
            put_leg_item(j, &pattern->ends[pattern_end(pattern, leg->end)], &leg->items.at[k]);
        close_array(j);
        if (leg->thread_ahead > 0) put_int(j, "thread_ahead", leg->thread_ahead);
        if (leg->both) put_ahead(j, leg->ahead_first, leg->ahead_then);
        close_object(j);
    }
    close_rows(j);
}

static void put_pattern(struct json *j) {
    const struct pattern *pattern = j->pattern;
    line(j);
    open_object(j, "pattern");
    put_string(j, "name", pattern->name);
    put_given(j, "title", pattern->title);
    put_int(j, "pieces", pattern->intents.pieces);
    if (pattern->intents.pieces == 1)
        put_string(j, "long_side", side_word(pattern->intents.long_side.side));
    close_object(j);
}

static void put_clamps(struct json *j, int fixed, int starting) {
    open_object(j, "clamps");
    put_int(j, clamp_word(CLAMP_FIXED), fixed);
    put_int(j, clamp_word(CLAMP_STARTING), starting);
    close_object(j);
}

static void put_bench(struct json *j) {
    const struct bench *bench = j->pattern->bench;
    line(j);
    open_object(j, "bench");
    put_given(j, "name", bench->name);
    put_given(j, "title", bench->title);
    put_clamps(j, bench->clamps[CLAMP_FIXED], bench->clamps[CLAMP_STARTING]);
    put_real(j, "reach", bench->reach);
    put_given(j, "mount", bench->mount);
    close_object(j);
}

/* ---- what is derived ---- */

static void put_pieces(struct json *j) {
    const struct pattern *pattern = j->pattern;
    open_rows(j, "strings");
    for (int piece = 0; piece < pattern->string_count; piece++) {
        const struct string *string = piece == 0 ? pattern->mains_string : pattern->crosses_string;
        double cut = 0, fold = 0;
        open_row(j);
        open_array(j, "ends");
        for (int e = 0; e < pattern->end_count; e++) {
            if (pattern->ends[e].string != piece) continue;
            put_text(j, end_word(pattern->ends[e].name));
            cut += pattern->cuts[e].cut;
            if (pattern->ends[e].name == END_SHORT || pattern->ends[e].name == END_LEFT)
                fold = pattern->cuts[e].cut;
        }
        close_array(j);
        put_key(j, "string");
        if (string != NULL)
            put_text(j, string->name);
        else
            yajl_gen_null(j->gen);
        put_real(j, "cut", cut);
        if (fold > 0) put_real(j, "fold", fold);
        close_object(j);
    }
    close_rows(j);
}

static void put_knot(struct json *j, const char *key, const struct knot *knot, const char *by) {
    open_object(j, key);
    put_string(j, "hole", hole_id(j, knot->hole));
    if (knot->around != NO_STRAND) put_string(j, "around", strand_id(j, knot->around));
    put_given(j, "by", by);
    close_object(j);
}

static void put_cut(struct json *j, const struct cut *cut) {
    open_object(j, "string");
    put_real(j, "strands", cut->strands);
    put_real(j, "walls", cut->walls);
    put_real(j, "crimp", cut->crimp);
    put_real(j, "loops", cut->loops);
    put_real(j, "tail", cut->tail);
    put_real(j, "reach", cut->reach);
    put_real(j, "stretch", cut->stretch);
    put_real(j, "cut", cut->cut);
    close_object(j);
}

static void put_ends(struct json *j) {
    const struct pattern *pattern = j->pattern;
    open_rows(j, "ends");
    for (int e = 0; e < pattern->end_count; e++) {
        const struct end *end = &pattern->ends[e];
        open_row(j);
        put_string(j, "name", end_word(end->name));
        if (end->start.hole != NO_HOLE)
            put_knot(j, "start", &end->start, end->start_clamped ? "clamp" : "knot");
        put_knot(j, "tie", &end->tie, NULL);
        put_cut(j, &pattern->cuts[e]);
        j->depth++;
        open_rows(j, "route");
        for (size_t i = 0; i < end->passes.count; i++) {
            const struct pass *pass = &end->passes.at[i];
            open_row(j);
            put_string(j, "strand", strand_id(j, pass->strand));
            put_string(j, "enter", hole_id(j, pass->enter));
            put_string(j, "leave", hole_id(j, pass->leave));
            close_object(j);
        }
        close_rows(j);
        j->depth--;
        line(j);
        close_object(j);
    }
    close_rows(j);
}

static void put_loops(struct json *j) {
    static const char *const kinds[] = {"fold", "start", "loop", "tie"};
    const struct pattern *pattern = j->pattern;
    open_rows(j, "loops");
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        open_row(j);
        put_string(j, "end", end_word(pattern->ends[loop->end].name));
        put_string(j, "kind", kinds[loop->kind]);
        put_string(j, "from", hole_id(j, loop->from));
        put_string(j, "to", hole_id(j, loop->to));
        put_real(j, "length", loop->length);
        open_array(j, "passes");
        for (int k = 0; k < loop->pass_count; k++)
            put_text(j, hole_id(j, loop->passes[k]));
        close_array(j);
        put_string(j, "lane", lane_word(loop->lane));
        put_int(j, "over", loop->over);
        close_object(j);
    }
    close_rows(j);
}

static void put_weave(struct json *j) {
    open_rows(j, "weave");
    for (size_t i = 0; i < j->pattern->crossings.count; i++) {
        const struct crossing *crossing = &j->pattern->crossings.at[i];
        open_row(j);
        put_string(j, "main", strand_id(j, crossing->main));
        put_string(j, "cross", strand_id(j, crossing->cross));
        put_string(j, "over", strand_id(j, crossing->main_over ? crossing->main : crossing->cross));
        close_object(j);
    }
    close_rows(j);
}

static void put_clamp_name(struct json *j, const struct move *move) {
    char store[16];
    const char *word = clamp_word(move->clamp);
    size_t length = strlen(word);
    memcpy(store, word, length);
    store[length++] = '-';
    store[length++] = (char)('0' + move->clamp_number);
    put_key(j, "clamp");
    yajl_gen_string(j->gen, (const unsigned char *)store, length);
}

static void put_moves(struct json *j) {
    static const char *const kinds[] = {"thread", "weave",   "pull", "repull",
                                        "clamp",  "release", "tie"};
    const struct pattern *pattern = j->pattern;
    open_rows(j, "moves");
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        open_row(j);
        put_int(j, "n", (int)i + 1);
        put_string(j, "do", kinds[move->kind]);
        put_string(j, "end", end_word(pattern->ends[move->end].name));
        put_string(j, "strand", strand_id(j, move->strand));
        if (move->enter != NO_HOLE) put_string(j, "enter", hole_id(j, move->enter));
        if (move->leave != NO_HOLE) put_string(j, "leave", hole_id(j, move->leave));
        if (move->kind == MOVE_WEAVE) {
            put_string(j, "meets", strand_id(j, move->first_met));
            put_string(j, "first", move->first_over ? "over" : "under");
        }
        if (move->tension > 0) put_real(j, "tension", move->tension);
        if (move->kind == MOVE_CLAMP || move->kind == MOVE_RELEASE) put_clamp_name(j, move);
        if (move->anchor) put_bool(j, "anchor", true);
        if (move->at_start) put_string(j, "at", "start");
        if (move->hole != NO_HOLE) put_string(j, "hole", hole_id(j, move->hole));
        if (move->around != NO_STRAND) put_string(j, "around", strand_id(j, move->around));
        close_object(j);
    }
    close_rows(j);
}

static void put_totals(struct json *j) {
    const struct pattern *pattern = j->pattern;
    double loops = 0, longest = 0, cut = 0;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        loops += pattern->loops.at[i].length;
        if (pattern->loops.at[i].length > longest) longest = pattern->loops.at[i].length;
    }
    for (int e = 0; e < pattern->end_count; e++)
        cut += pattern->cuts[e].cut;
    line(j);
    open_object(j, "totals");
    put_real(j, "loops", loops);
    put_real(j, "longest_loop", longest);
    put_real(j, "cut", cut);
    put_clamps(j, pattern->clamps[CLAMP_FIXED].used, pattern->clamps[CLAMP_STARTING].used);
    close_object(j);
}

static void put_assumed(struct json *j) {
    line(j);
    open_array(j, "assumed");
    for (size_t i = 0; i < j->pattern->assumed.count; i++)
        put_text(j, j->pattern->assumed.at[i].what);
    close_array(j);
}

static void put_findings(struct json *j) {
    open_rows(j, "findings");
    for (size_t i = 0; i < j->pattern->remarks.count; i++) {
        const struct remark *remark = &j->pattern->remarks.at[i];
        open_row(j);
        put_string(j, "code", remark->code);
        put_string(j, "severity", remark->severity);
        put_string(j, "title", remark->title);
        put_string(j, "message", remark->message);
        if (remark->file != NULL) {
            put_string(j, "file", remark->file);
            put_int(j, "line", (int)remark->line);
            put_int(j, "column", (int)remark->column);
        }
        close_object(j);
    }
    close_rows(j);
}

void emit_export(const struct pattern *pattern, struct output *out) {
    yajl_alloc_funcs memory = {get_memory, grow_memory, put_memory, out->arena};
    struct json json = {.pattern = pattern, .frame = pattern->frame, .out = out}, *j = &json;
    j->gen = yajl_gen_alloc(&memory);
    if (j->gen == NULL) {
        out->failed = true;
        return;
    }
    yajl_gen_config(j->gen, yajl_gen_print_callback, write_part, j);
    open_object(j, NULL);
    j->depth = 1;
    line(j);
    put_string(j, "schema", "selvage/1");
    put_frame(j);
    put_strands(j);
    put_pattern(j);
    put_intents(j);
    put_legs(j);
    put_bench(j);
    put_pieces(j);
    put_ends(j);
    put_loops(j);
    put_weave(j);
    put_moves(j);
    put_totals(j);
    put_assumed(j);
    put_findings(j);
    j->depth = 0;
    line(j);
    close_object(j);
    put_char(out, '\n');
    yajl_gen_free(j->gen);
}
