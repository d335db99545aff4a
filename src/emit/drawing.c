/* The frame diagram, SVG: front view in true proportion. Groups with stable ids and classes, so
 * that a page can light a strand without another drawing. */
#include "emit/emit.h"
#include "emit/figure.h"
#include "emit/sheet.h"
#include "emit/svg.h"
#include "emit/type.h"

#include <math.h>

#define PLACE_SIZE 3.0 /* mm on paper */

struct canvas {
    const struct figure *figure;
    const struct layout *layout;
    const struct pattern *pattern;
    const struct frame *frame;
    struct output *out;
    double unit;
};

/* A string with `beads` shows its pattern as thick stretches on a thin line, so that a gap in the
 * line is always a strand passing on top. */
static const char style_sheet[] =
    "text{font-family:'DejaVu Sans','Liberation Sans',Arial,sans-serif;fill:#111;stroke:none}\n"
    ".number,.name,.count,.middle{text-anchor:middle}\n"
    ".paper{fill:#fff}\n"
    ".hoop{fill:#eceae4;stroke:#444;stroke-width:.5}\n"
    ".shaft{fill:#f6f5f2;stroke:#8a8a8a;stroke-width:.5}\n"
    ".axis{fill:none;stroke:#6a6a6a;stroke-width:.35;stroke-dasharray:9 2 2 2}\n"
    ".leader{fill:none;stroke:#8a8a8a;stroke-width:.35}\n"
    ".measure{fill:none;stroke:#555;stroke-width:.4}\n"
    ".string,.beads,.loop,.case{fill:none}\n"
    ".case{stroke:#fff;stroke-width:3}\n"
    ".halo{fill:none;stroke:#eceae4;stroke-width:3.2}\n"
    ".end-long,.end-left{stroke:#0072b2}\n"
    ".end-short,.end-right{stroke:#d55e00}\n"
    ".end-cross{stroke:#000}\n"
    ".string{stroke-width:.8}\n"
    ".end-long .string,.end-left .string{stroke-width:1.8}\n"
    ".beads{stroke-width:2.1;stroke-dasharray:6 3.5}\n"
    ".end-cross .beads{stroke-width:1.9;stroke-dasharray:1.6 3}\n"
    ".loop{stroke-width:1.4;stroke-linejoin:round}\n"
    ".back{stroke-width:1.2;stroke-dasharray:2.6 1.9}\n"
    ".arrow{stroke:none}\n"
    ".end-long .arrow,.end-left .arrow{fill:#0072b2}\n"
    ".end-short .arrow,.end-right .arrow{fill:#d55e00}\n"
    ".end-cross .arrow{fill:#000}\n"
    ".hole{fill:#fff;stroke:#222;stroke-width:.5}\n"
    ".ring{fill:none;stroke:#222;stroke-width:.5}\n"
    ".unused{fill:#fff;stroke:#777;stroke-width:.5;stroke-dasharray:1 .8}\n"
    ".tag{fill:#fff;stroke:none}\n"
    ".badge{fill:#fff;stroke:#222;stroke-width:.35}\n"
    ".knot{fill:#111;stroke:#fff;stroke-width:.4}\n"
    ".first{fill:#fff;stroke:#111;stroke-width:.6}\n"
    ".on-knot{fill:#fff;font-weight:bold}\n";

static struct canvas canvas_of(const struct figure *figure, struct output *out) {
    const struct layout *layout = figure->layout;
    return (struct canvas){figure, layout,      layout->pattern, layout->pattern->frame,
                           out,    layout->unit};
}

/* `<g id="..."` for what is named after the group, with a class or without; both are left open. */
static void open_group(const struct canvas *c, const char *id, const char *class_name) {
    put_format(c->out, "<g id=\"%s%s\"", c->figure->prefix, id);
    if (class_name != NULL) put_format(c->out, " class=\"%s\"", class_name);
    put(c->out, ">\n");
}

static double size_of(const struct canvas *c, double paper) { return paper * c->unit; }

static struct point below(struct point at, double distance) {
    return (struct point){at.x, at.y + distance};
}

/* A text whose middle, not its foot, lies at a point. */
static void put_middle(const struct canvas *c, const char *class_name, struct point at, double size,
                       const char *text) {
    svg_label(c->out, class_name, below(at, size * 0.36), text);
}

static const char *end_class(const struct canvas *c, int end) {
    return end_word(c->pattern->ends[end].name);
}

/* ---- head of the file ---- */

void put_figure_style(struct output *out) { put(out, style_sheet); }

void put_figure_sizes(const struct figure *figure, const char *scope, struct output *out) {
    const struct {
        const char *class_name;
        double size;
    } sizes[] = {{"number", NUMBER_SIZE},
                 {"name", NAME_SIZE},
                 {"count", NAME_SIZE},
                 {"legend", LEGEND_SIZE},
                 {"title", figure->layout->title_size},
                 {"subtitle", figure->layout->subtitle_size},
                 {"small", LEGEND_SIZE},
                 {"place", PLACE_SIZE}};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        put_format(out, "%s.%s{font-size:", scope, sizes[i].class_name);
        put_decimal(out, sizes[i].size * figure->layout->unit, 2);
        put(out, "px}\n");
    }
}

const char *figure_description(const struct pattern *pattern, struct arena *arena) {
    const struct frame *frame = pattern->frame;
    struct output out = output_to(arena);
    put_format(&out,
               "Stringing pattern %s of a %s frame seen from the front, head up: %d mains and %d "
               "crosses, ",
               pattern->name, frame->sport != NULL ? frame->sport : "racket", frame->main_count,
               frame->cross_count);
    for (int e = 0; e < pattern->end_count; e++) {
        const struct end *end = &pattern->ends[e];
        put_format(&out, "the %s end strings %zu strands from %s and is tied at %s%s",
                   end_word(end->name), end->passes.count,
                   frame->holes[end->passes.at[0].enter].name, frame->holes[end->tie.hole].name,
                   e + 1 < pattern->end_count ? "; " : ".");
    }
    return output_text(&out);
}

/* Below the numbers: the shaft, with the word throat. */
static const double FOOT_ROOM = 4.5; /* mm on paper */
/* Above them without measures: the word head. */
static const double BARE_HEAD_ROOM = 4.6;

struct area figure_area(const struct figure *figure) {
    const struct layout *layout = figure->layout;
    double u = layout->unit, half = layout->content_right + (figure->bare ? 0 : SIDE_ROOM * u);
    double head = figure->bare ? BARE_HEAD_ROOM : HEAD_ROOM;
    struct area area = {-half, layout->content_top - head * u, 2 * half, 0};
    double foot = layout->content_bottom + FOOT_ROOM * u;
    if (figure->legend) {
        area.left = layout->left;
        area.width = layout->width;
        foot = layout->top + layout->height;
    }
    if (figure->heading) area.top = layout->top;
    area.height = foot - area.top;
    return area;
}

void put_view_box(struct output *out, struct area area) {
    double box[] = {area.left, area.top, area.width, area.height};
    put(out, " viewBox=\"");
    for (int i = 0; i < 4; i++) {
        if (i > 0) put_char(out, ' ');
        put_decimal(out, box[i], 2);
    }
    put_char(out, '"');
}

/* ---- hoop ---- */

static void put_curve(struct output *out, const struct curve *curve) {
    svg_move(out, curve->at[0]);
    for (int i = 0; i < curve->count; i++)
        svg_cubic(out, &curve->at[1 + 3 * i]);
}

static void put_shaft(const struct canvas *c) {
    double foot = c->frame->outline.length + c->frame->wall * 0.6,
           end = c->layout->content_bottom + 3 * c->unit;
    struct output *out = c->out;
    put(out, "<path class=\"shaft\" d=\"");
    double half = c->layout->shaft_half;
    struct point shape[] = {{-half, foot}, {-half, end}, {half, end}, {half, foot}};
    for (size_t i = 0; i < sizeof shape / sizeof *shape; i++) {
        if (i == 0)
            svg_move(out, shape[i]);
        else
            svg_line(out, shape[i]);
    }
    put(out, "\"/>\n");
}

/* The centre line, broken at the numbers of the holes on it. */
static void put_axis(const struct canvas *c) {
    struct output *out = c->out;
    double y = c->layout->content_top, gap = 0.6 * c->unit;
    put(out, "<path class=\"axis\" d=\"");
    for (int i = 0; i < c->frame->hole_count; i++) {
        if (c->frame->holes[i].side != SIDE_CENTRE) continue;
        struct box box = c->layout->numbers[i];
        svg_move(out, (struct point){0, y});
        svg_line(out, (struct point){0, box.centre.y - box.height / 2 - gap});
        y = box.centre.y + box.height / 2 + gap;
    }
    svg_move(out, (struct point){0, y});
    svg_line(out, (struct point){0, fmax(y, c->layout->content_bottom)});
    put(out, "\"/>\n");
}

static void put_hoop(const struct canvas *c) {
    struct output *out = c->out;
    open_group(c, "hoop", NULL);
    put(out, "<path class=\"hoop\" fill-rule=\"evenodd\" d=\"");
    put_curve(out, &c->layout->outer);
    put(out, "Z");
    put_curve(out, &c->layout->inner);
    put(out, "Z\"/>\n");
    put_axis(c);
    put(out, "</g>\n");
}

/* Width and length with their ticks. */
static void put_measures(const struct canvas *c) {
    struct output *out = c->out;
    double w = c->frame->outline.width / 2, l = c->frame->outline.length, tick = 1.2 * c->unit;
    double y = c->layout->content_top, x = c->layout->content_right + 1.5 * c->unit;
    open_group(c, "measures", NULL);
    put(out, "<path class=\"measure\" d=\"");
    struct point lines[][2] = {
        {{-w, y}, {w, y}}, {{-w, y - tick}, {-w, y + tick}}, {{w, y - tick}, {w, y + tick}},
        {{x, 0}, {x, l}},  {{x - tick, 0}, {x + tick, 0}},   {{x - tick, l}, {x + tick, l}}};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        svg_move(out, lines[i][0]);
        svg_line(out, lines[i][1]);
    }
    put(out, "\"/>\n");
    double size = size_of(c, LEGEND_SIZE);
    put_format(out, "<text class=\"small\" text-anchor=\"middle\" transform=\"translate(");
    put_decimal(out, x + size * 1.1, 2);
    put_char(out, ' ');
    put_decimal(out, l * 0.72, 2);
    put_format(out, ") rotate(-90)\">%s mm long inside</text>\n</g>\n",
               format_decimal(out->arena, c->frame->outline.length, 0));
}

/* ---- loops ---- */

static const char *loop_title(const struct canvas *c, const struct loop *loop) {
    static const char *const kinds[] = {"fold", "start", "loop", "to the knot"};
    return format(c->out->arena, "%s end, %s from %s to %s, %s mm, %s", end_class(c, loop->end),
                  kinds[loop->kind], c->frame->holes[loop->from].name,
                  c->frame->holes[loop->to].name, format_decimal(c->out->arena, loop->length, 0),
                  loop->lane == LANE_FRONT ? "in front" : "behind");
}

static void put_loops(const struct canvas *c, enum lane lane) {
    struct output *out = c->out;
    open_group(c, format(out->arena, "loops-%s", lane_word(lane)), NULL);
    for (size_t i = 0; i < c->pattern->loops.count; i++) {
        const struct loop *loop = &c->pattern->loops.at[i];
        const struct loop_layout *at = &c->layout->loops[i];
        if (loop->lane != lane) continue;
        put_format(out, "<g id=\"%s%s\" class=\"end-%s\">", c->figure->prefix,
                   loop_id(c->layout, out->arena, (int)i), end_class(c, loop->end));
        svg_title(out, loop_title(c, loop));
        if (lane == LANE_FRONT) {
            put(out, "<path class=\"case\" d=\"");
            put_curve(out, &at->path);
            put(out, "\"/>");
        }
        put_format(out, "<path class=\"loop %s\" d=\"", lane_word(lane));
        put_curve(out, &at->path);
        put(out, "\"/></g>\n");
    }
    put(out, "</g>\n");
}

/* ---- strands ---- */

static bool has_beads(enum end_name end) { return end != END_LONG && end != END_LEFT; }

static void put_pieces(struct output *out, const struct piece *pieces, int count) {
    for (int i = 0; i < count; i++) {
        svg_move(out, pieces[i].from);
        svg_line(out, pieces[i].to);
    }
}

/* A string along its pieces, with its beads; `face` is what comes behind the names of its classes.
 */
static void put_string(struct output *out, const char *face, bool beads, const struct piece *pieces,
                       int count) {
    put_format(out, "<path class=\"string%s\" d=\"", face);
    put_pieces(out, pieces, count);
    put(out, "\"/>");
    if (!beads) return;
    put_format(out, "<path class=\"beads%s\" d=\"", face);
    put_pieces(out, pieces, count);
    put(out, "\"/>");
}

static void put_arrow(struct output *out, const struct strand_layout *strand) {
    struct point tip = strand->arrow_tip, way = strand->way;
    double length = ARROW_LENGTH, half = 1.9;
    struct point foot = {tip.x - way.x * length, tip.y - way.y * length};
    put(out, "<path class=\"arrow\" d=\"");
    svg_move(out, tip);
    svg_line(out, (struct point){foot.x - way.y * half, foot.y + way.x * half});
    svg_line(out, (struct point){foot.x + way.y * half, foot.y - way.x * half});
    put(out, "Z\"/>");
}

static void put_strands(const struct canvas *c) {
    struct output *out = c->out;
    open_group(c, "strands", NULL);
    for (int i = 0; i < c->frame->strand_count; i++) {
        const struct strand *strand = &c->frame->strands[i];
        const struct strand_layout *at = &c->layout->strands[i];
        const struct pass *pass = &c->pattern->ends[at->end].passes.at[at->pass];
        put_format(out, "<g id=\"%sstrand-%s\" class=\"%s end-%s pull-%d\">", c->figure->prefix,
                   strand->id, strand->kind == MAIN ? "main" : "cross", end_class(c, at->end),
                   at->pull);
        svg_title(out, format(out->arena, "%s, %s end, pull %d, from %s to %s", strand->name,
                              end_class(c, at->end), at->pull, c->frame->holes[pass->enter].name,
                              c->frame->holes[pass->leave].name));
        bool beads = has_beads(c->pattern->ends[at->end].name), both = c->figure->both_faces;
        put_string(out, both ? " front-face" : "", beads, at->pieces, at->piece_count);
        if (both) put_string(out, " back-face", beads, at->back_pieces, at->back_piece_count);
        put_arrow(out, at);
        put(out, "</g>\n");
    }
    put(out, "</g>\n");
}

/* ---- walls ---- */

/* Straight through the wall, or to the other side of the hole on the way. */
static void put_way(const struct canvas *c, const struct passage *passage) {
    struct point from = passage->inside, to = passage->outside;
    svg_move(c->out, from);
    if (!passage->changes_sides) {
        svg_line(c->out, to);
        return;
    }
    struct point out = c->frame->holes[passage->hole].outward;
    double handle = c->frame->wall * 0.5;
    struct point curve[] = {along(from, out, handle), along(to, out, -handle), to};
    svg_cubic(c->out, curve);
}

/* A string that has the hole to itself is one with its loop; those that share it are drawn like
 * their strands, so that each is told from the other, and one that crosses another stands clear of
 * it. */
static void put_shared_passage(const struct canvas *c, const struct passage *passage) {
    struct output *out = c->out;
    put_format(out, "<g class=\"end-%s\">", end_class(c, passage->end));
    if (passage->changes_sides) {
        put(out, "<path class=\"halo\" d=\"");
        put_way(c, passage);
        put(out, "\"/>");
    }
    put(out, "<path class=\"string\" d=\"");
    put_way(c, passage);
    put(out, "\"/>");
    if (has_beads(c->pattern->ends[passage->end].name)) {
        put(out, "<path class=\"beads\" d=\"");
        put_way(c, passage);
        put(out, "\"/>");
    }
    put(out, "</g>\n");
}

/* The string in the walls, from the bed to the outside. */
static void put_walls(const struct canvas *c) {
    struct output *out = c->out;
    const struct layout *layout = c->layout;
    open_group(c, "walls", NULL);
    for (int e = 0; e < c->pattern->end_count; e++) {
        put_format(out, "<path class=\"loop end-%s\" d=\"", end_class(c, e));
        for (int i = 0; i < layout->passage_count; i++) {
            const struct passage *passage = &layout->passages[i];
            if (passage->end == e && passage->hole != NO_HOLE && !passage->shared)
                put_way(c, passage);
        }
        put(out, "\"/>\n");
    }
    for (int i = 0; i < layout->passage_count; i++)
        if (layout->passages[i].shared) put_shared_passage(c, &layout->passages[i]);
    put(out, "</g>\n");
}

/* ---- holes, names, numbers ---- */

static const char *hole_title(const struct canvas *c, int hole) {
    const struct hole *at = &c->frame->holes[hole];
    struct output text = output_to(c->out->arena);
    put(&text, at->name);
    for (int i = 0; i < at->strand_count; i++)
        put_format(&text, "%s%s", i == 0 ? ": " : " and ", c->frame->strands[at->strands[i]].name);
    if (at->strand_count == 0) put(&text, ": unused");
    if (at->tie_off) put(&text, ", room for a knot");
    return output_text(&text);
}

static void put_holes(const struct canvas *c) {
    struct output *out = c->out;
    open_group(c, "holes", NULL);
    for (int i = 0; i < c->frame->hole_count; i++) {
        const struct hole *hole = &c->frame->holes[i];
        struct point at = c->layout->hole_middle[i];
        put_format(out, "<g id=\"%shole-%s\">", c->figure->prefix, hole->id);
        svg_title(out, hole_title(c, i));
        bool shared = hole->strand_count > 1;
        double radius = hole->tie_off || shared ? KNOT_RADIUS : HOLE_RADIUS;
        svg_circle(out,
                   shared                    ? "ring"
                   : hole->strand_count == 0 ? "unused"
                                             : "hole",
                   at, radius * c->layout->hole_scale[i]);
        put(out, "</g>\n");
    }
    put(out, "</g>\n");
    open_group(c, "knots", NULL);
    for (int i = 0; i < c->frame->hole_count; i++) {
        if (!is_knot_hole(c->pattern, i)) continue;
        struct point at = c->layout->hole_middle[i];
        double half = KNOT_RADIUS * c->layout->hole_scale[i];
        put(out, "<path class=\"knot\" d=\"");
        svg_move(out, (struct point){at.x, at.y - half});
        svg_line(out, (struct point){at.x + half, at.y});
        svg_line(out, (struct point){at.x, at.y + half});
        svg_line(out, (struct point){at.x - half, at.y});
        put(out, "Z\"/>\n");
    }
    put(out, "</g>\n");
}

/* A hairline from each hole to its number, where the two are apart: at the shoulders a number may
 * stand level with another hole. */
static void put_leaders(const struct canvas *c) {
    struct output *out = c->out;
    double u = c->unit, start = c->frame->wall + 0.5 * u;
    put_format(out, "<path id=\"%sleaders\" class=\"leader\" d=\"", c->figure->prefix);
    for (int i = 0; i < c->frame->hole_count; i++) {
        const struct hole *hole = &c->frame->holes[i];
        struct box box = c->layout->numbers[i];
        double x = box.centre.x - hole->at.x, y = box.centre.y - hole->at.y;
        double stop = sqrt(x * x + y * y) - fabs(hole->outward.x) * box.width / 2 -
                      fabs(hole->outward.y) * box.height / 2 - 0.3 * u;
        if (stop - start < 1.5 * u) continue;
        svg_move(out, along(hole->at, hole->outward, start));
        svg_line(out, along(hole->at, hole->outward, stop));
    }
    put(out, "\"/>\n");
}

static void put_numbers(const struct canvas *c) {
    struct output *out = c->out;
    double size = size_of(c, NUMBER_SIZE);
    open_group(c, "numbers", "number");
    for (int i = 0; i < c->frame->hole_count; i++) {
        const char *text = hole_number(&c->frame->holes[i]);
        struct box box = c->layout->numbers[i];
        bool knot = is_knot_hole(c->pattern, i), first = is_first_hole(c->pattern, i);
        if (knot || first)
            svg_box(out, knot ? "knot" : "first", box.centre, box.width, box.height, size * 0.25);
        put_middle(c, knot ? "on-knot" : NULL, box.centre, size, text);
    }
    put(out, "</g>\n");
}

static void put_names(const struct canvas *c) {
    struct output *out = c->out;
    const struct frame *frame = c->frame;
    double size = size_of(c, NAME_SIZE);
    open_group(c, "tags", "tag");
    for (int i = 0; i < frame->strand_count; i++) {
        struct box box = name_box(c->layout, i);
        for (int k = 0; k < c->layout->names; k++)
            svg_box(out, NULL, c->layout->strands[i].name_at[k], box.width, box.height, 0);
    }
    put(out, "</g>\n");
    open_group(c, "names", "name");
    for (int i = 0; i < frame->strand_count; i++) {
        const char *name = strand_label(&frame->strands[i]);
        for (int k = 0; k < c->layout->names; k++)
            put_middle(c, NULL, c->layout->strands[i].name_at[k], size, name);
    }
    put(out, "</g>\n");
}

static void put_counts(const struct canvas *c) {
    struct output *out = c->out;
    double size = size_of(c, NAME_SIZE);
    open_group(c, "badges", "badge");
    for (int i = 0; i < c->frame->strand_count; i++) {
        struct box box = count_box(c->layout, i);
        svg_box(out, NULL, c->layout->strands[i].number_at, box.width, box.height, size * 0.6);
    }
    put(out, "</g>\n");
    open_group(c, "counts", "count");
    for (int i = 0; i < c->frame->strand_count; i++) {
        const struct strand_layout *at = &c->layout->strands[i];
        put_middle(c, NULL, at->number_at, size, format(out->arena, "%d", at->pull));
    }
    put(out, "</g>\n");
}

/* ---- title and legend ---- */

static void put_titles(const struct canvas *c) {
    const struct layout *layout = c->layout;
    open_group(c, "title", NULL);
    for (size_t i = 0; i < layout->heading.count; i++) {
        const struct heading_line *line = &layout->heading.at[i];
        svg_label(
            c->out, line->class_name,
            (struct point){layout->left + line->at.x * c->unit, layout->top + line->at.y * c->unit},
            line->text);
    }
    put(c->out, "</g>\n");
}

void put_end_sample(const struct figure *figure, int number, struct point at, double length,
                    struct output *out) {
    const struct end *end = &figure->layout->pattern->ends[number];
    struct piece piece = {at, {at.x + length, at.y}};
    struct strand_layout sample = {.arrow_tip = piece.to, .way = {1, 0}};
    put_format(out, "<g class=\"end-%s\">", end_word(end->name));
    put_string(out, "", has_beads(end->name), &piece, 1);
    put_arrow(out, &sample);
    put(out, "</g>\n");
}

const char *end_summary(const struct pattern *pattern, int number, struct arena *arena) {
    const struct end *end = &pattern->ends[number];
    int from = end->start.hole != NO_HOLE ? end->start.hole : end->passes.at[0].enter;
    return format(arena, "%s end: %zu strands, %s to %s", end_word(end->name), end->passes.count,
                  pattern->frame->holes[from].name, pattern->frame->holes[end->tie.hole].name);
}

static void put_end_legend(const struct canvas *c, struct point *at, int e) {
    double u = c->unit, size = size_of(c, LEGEND_SIZE);
    put_end_sample(c->figure, e, *at, 17 * u, c->out);
    svg_label(c->out, "legend", (struct point){at->x + 19.5 * u, at->y + size * 0.36},
              end_summary(c->pattern, e, c->out->arena));
    at->y += LEGEND_ROW * u;
}

static bool sign_occurs(const struct canvas *c, enum figure_sign sign) {
    bool back = false, shared = false, unused = false;
    for (size_t i = 0; i < c->pattern->loops.count; i++)
        back |= c->pattern->loops.at[i].lane == LANE_BACK;
    for (int i = 0; i < c->frame->hole_count; i++) {
        shared |= c->frame->holes[i].strand_count > 1;
        unused |= c->frame->holes[i].strand_count == 0;
    }
    return sign == SIGN_BACK     ? back
           : sign == SIGN_SHARED ? shared
           : sign == SIGN_UNUSED ? unused
           : sign == SIGN_COUNT  ? c->layout->counts
                                 : true;
}

const char *figure_sign_words(const struct figure *figure, enum figure_sign sign) {
    static const char *const words[] = {"loop in front", "loop behind",   "room for a knot",
                                        "two strands",   "unused hole",   "first hole",
                                        "knot",          "order of pulls"};
    struct canvas canvas = canvas_of(figure, NULL);
    return sign_occurs(&canvas, sign) ? words[sign] : NULL;
}

void put_figure_sign(const struct figure *figure, enum figure_sign sign, struct point at,
                     struct output *out) {
    struct canvas canvas = canvas_of(figure, out);
    const struct canvas *c = &canvas;
    double u = c->unit, size = size_of(c, LEGEND_SIZE), number = size_of(c, NUMBER_SIZE);
    struct point middle = {at.x + SIGN_WIDTH / 2 * u, at.y};
    switch (sign) {
    case SIGN_FRONT:
    case SIGN_BACK:
        put(out, "<g class=\"end-cross\">");
        svg_segment(out, sign == SIGN_FRONT ? "loop" : "loop back", at,
                    (struct point){at.x + SIGN_WIDTH * u, at.y});
        put(out, "</g>\n");
        break;
    case SIGN_TIE_OFF: svg_circle(out, "hole", middle, KNOT_RADIUS); break;
    case SIGN_SHARED:
        put(out, "<g class=\"end-cross\"><path class=\"string\" d=\"");
        for (int side = -1; side <= 1; side += 2) {
            svg_move(out, (struct point){middle.x - 5, middle.y + side * 1.25});
            svg_line(out, (struct point){middle.x + 5, middle.y + side * 1.25});
        }
        put(out, "\"/></g>\n");
        svg_circle(out, "ring", middle, KNOT_RADIUS);
        break;
    case SIGN_UNUSED: svg_circle(out, "unused", middle, HOLE_RADIUS); break;
    case SIGN_FIRST:
    case SIGN_KNOT:
        svg_box(out, sign == SIGN_KNOT ? "knot" : "first", middle, number * 1.9, number * 1.35,
                number * 0.25);
        put_middle(c, sign == SIGN_KNOT ? "number on-knot" : "number", middle, number, "6H");
        break;
    case SIGN_COUNT:
        svg_box(out, "badge", middle, size * 1.6, size * 1.15, size * 0.6);
        put_middle(c, "count", middle, size_of(c, NAME_SIZE), "12");
        break;
    case FIGURE_SIGNS: break;
    }
}

static void put_sign(const struct canvas *c, enum figure_sign sign, struct point at) {
    put_figure_sign(c->figure, sign, at, c->out);
    svg_label(c->out, "legend",
              (struct point){at.x + 11 * c->unit, at.y + size_of(c, LEGEND_SIZE) * 0.36},
              figure_sign_words(c->figure, sign));
}

static void put_scale(const struct canvas *c, struct point at) {
    struct output *out = c->out;
    double tick = 1 * c->unit, size = size_of(c, LEGEND_SIZE);
    put(out, "<path class=\"measure\" d=\"");
    svg_move(out, (struct point){at.x, at.y - tick});
    svg_line(out, (struct point){at.x, at.y + tick});
    svg_move(out, at);
    svg_line(out, (struct point){at.x + 50, at.y});
    svg_move(out, (struct point){at.x + 50, at.y - tick});
    svg_line(out, (struct point){at.x + 50, at.y + tick});
    put(out, "\"/>\n");
    svg_label(out, "legend", (struct point){at.x + 50 + 2 * c->unit, at.y + size * 0.36},
              format(out->arena, "50 mm; 1 : %s on A4", format_decimal(out->arena, c->unit, 2)));
}

static void put_legend(const struct canvas *c) {
    double u = c->unit, row = LEGEND_ROW * u,
           bottom = c->layout->top + c->layout->height - LEGEND_MARGIN * u;
    struct output *out = c->out;
    open_group(c, "legend", NULL);
    struct point at = {c->layout->left + 8 * u, bottom - row * (c->pattern->end_count + 0.3)};
    for (int e = 0; e < c->pattern->end_count; e++)
        put_end_legend(c, &at, e);
    put_scale(c, (struct point){at.x, bottom});
    enum figure_sign signs[FIGURE_SIGNS];
    int count = 0;
    for (int sign = 0; sign < FIGURE_SIGNS; sign++)
        if (sign_occurs(c, (enum figure_sign)sign)) signs[count++] = (enum figure_sign)sign;
    int rows = (count + 1) / 2;
    for (int i = 0; i < count; i++)
        put_sign(c, signs[i],
                 (struct point){c->layout->left + (i < rows ? 124 : 164) * u,
                                bottom - row * (rows - 1 - i % rows)});
    put(out, "</g>\n");
}

static void put_throat(const struct canvas *c) {
    const struct layout *layout = c->layout;
    svg_label(c->out, "place",
              (struct point){layout->shaft_half + 2 * c->unit,
                             layout->content_bottom + size_of(c, PLACE_SIZE) * 0.5},
              "throat");
}

/* Where is what, along the line that measures the width and at the shaft: seen from the front, so
 * the racket's left is the reader's. */
static void put_places(const struct canvas *c) {
    struct output *out = c->out;
    const struct layout *layout = c->layout;
    double u = c->unit, size = size_of(c, PLACE_SIZE), small = size_of(c, LEGEND_SIZE);
    double foot = layout->content_top - size * 0.6;
    static const char head[] = "head", view[] = "seen from the front";
    const char *wide = format(out->arena, "%s mm wide inside",
                              format_decimal(out->arena, c->frame->outline.width, 0));
    /* Both texts at the same distance from the head's, on the line or beyond it. */
    double half = text_width(head, size) / 2 + 2 * u, line = c->frame->outline.width / 2;
    double longer = fmax(text_width(view, small), text_width(wide, small));
    double middle = fmax(line * 0.55, half + longer / 2);
    double side = fmax(line, middle + longer / 2) + 2.5 * u;
    open_group(c, "places", NULL);
    svg_label(out, "place middle", (struct point){0, foot}, head);
    svg_label(out, "small middle", (struct point){-middle, foot}, view);
    svg_label(out, "small middle", (struct point){middle, foot}, wide);
    svg_label(
        out, "place middle",
        (struct point){-side - text_width("left", size) / 2, layout->content_top + size * 0.36},
        "left");
    svg_label(
        out, "place middle",
        (struct point){side + text_width("right", size) / 2, layout->content_top + size * 0.36},
        "right");
    put_throat(c);
    put(out, "</g>\n");
}

/* The same without measures, within the width of the frame and its numbers. */
static void put_bare_places(const struct canvas *c) {
    struct output *out = c->out;
    const struct layout *layout = c->layout;
    double size = size_of(c, PLACE_SIZE), foot = layout->content_top - size * 0.6;
    double reach = layout->content_right;
    open_group(c, "places", NULL);
    svg_label(out, "place middle", (struct point){0, foot}, "head");
    svg_label(out, "place", (struct point){-reach, foot}, "left");
    svg_label(out, "place", (struct point){reach - text_width("right", size), foot}, "right");
    put_throat(c);
    put(out, "</g>\n");
}

void put_figure(const struct figure *figure, struct output *out) {
    struct canvas canvas = canvas_of(figure, out);
    const struct canvas *c = &canvas;
    put_shaft(c);
    put_loops(c, LANE_BACK);
    put_hoop(c);
    if (!figure->bare) put_measures(c);
    put_leaders(c);
    put_walls(c);
    put_loops(c, LANE_FRONT);
    put_strands(c);
    put_holes(c);
    put_numbers(c);
    put_names(c);
    if (c->layout->counts) put_counts(c);
    if (figure->bare)
        put_bare_places(c);
    else
        put_places(c);
    if (figure->heading) put_titles(c);
    if (figure->legend) put_legend(c);
}

static void put_paper(struct output *out, struct area area) {
    put(out, "<rect class=\"paper\"");
    svg_number(out, "x", area.left);
    svg_number(out, "y", area.top);
    svg_number(out, "width", area.width);
    svg_number(out, "height", area.height);
    put(out, "/>\n");
}

void emit_drawing(const struct pattern *pattern, struct output *out) {
    struct figure figure = {.layout = lay_out_drawing(pattern, out->arena),
                            .prefix = "",
                            .heading = true,
                            .legend = true};
    put(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
             "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"210mm\" "
             "height=\"297mm\"");
    put_view_box(out, figure_area(&figure));
    put(out, " xml:lang=\"en\">\n");
    svg_title(out,
              format(out->arena, "%s: %s", frame_title(pattern->frame), pattern_title(pattern)));
    put(out, "\n<desc>");
    svg_text(out, figure_description(pattern, out->arena));
    put(out, "</desc>\n<style type=\"text/css\">\n");
    put_figure_style(out);
    put_figure_sizes(&figure, "", out);
    put(out, "</style>\n");
    put_paper(out, figure_area(&figure));
    put_figure(&figure, out);
    put(out, "</svg>\n");
}
