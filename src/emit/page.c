/* The bench page, HTML: drawing and step list in one file that asks for nothing outside it. What is
 * shown is written here; web/page.js only lights it and moves on. */
#include "emit/bed.h"
#include "emit/deeds.h"
#include "emit/emit.h"
#include "emit/figure.h"
#include "emit/html.h"
#include "emit/sheet.h"

#include "web.inc"

#include <inttypes.h>
#include <string.h>

struct page {
    const struct pattern *pattern;
    const struct sheet *sheet;
    struct figure figure;
    struct output *out;
};

static struct page page_of(const struct pattern *pattern, struct output *out) {
    struct layout *layout = lay_out_drawing(pattern, out->arena);
    lay_out_back(layout, out->arena);
    struct figure figure = {.layout = layout, .prefix = "", .both_faces = true};
    return (struct page){pattern, sheet_of(pattern, out->arena), figure, out};
}

/* ---- the picture ---- */

/* The middle of the frame, about which it is turned. */
static double middle_of(const struct figure *figure) {
    struct area area = figure_area(figure);
    return area.top + area.height / 2;
}

static void put_picture(const struct page *page) {
    struct output *out = page->out;
    put(out, "<section id=\"picture\" aria-label=\"The frame\">\n<svg "
             "xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-labelledby=\"drawn\"");
    put_view_box(out, figure_area(&page->figure));
    put(out, ">\n<title id=\"drawn\">");
    put_html(out, figure_description(page->pattern, out->arena));
    put(out, "</title>\n<g id=\"view\" data-middle=\"");
    put_decimal(out, middle_of(&page->figure), 2);
    put(out, "\">\n");
    put_figure(&page->figure, out);
    put(out, "</g>\n</svg>\n</section>\n");
}

/* ---- the steps ---- */

static void put_attribute(struct output *out, const char *name, const char *prefix,
                          const char *value) {
    put_format(out, " data-%s=\"%s%s\"", name, prefix, value);
}

/* What a strand meets on its way that lies in the bed by then: "M6 over, M5 under". */
static void put_weave(const struct page *page, const struct sheet_row *row, const bool *in_bed) {
    struct output *out = page->out;
    const struct strand_layout *strand = &page->figure.layout->strands[row->threads];
    const char *between = "";
    put(out, " data-weave=\"");
    for (int i = 0; i < strand->meeting_count; i++) {
        const struct meeting *meeting = &strand->meetings[i];
        if (!in_bed[meeting->other]) continue;
        put_format(out, "%s%s %s", between,
                   strand_label(&page->pattern->frame->strands[meeting->other]),
                   meeting->under ? "under" : "over");
        between = ",";
    }
    put(out, "\"");
}

static void put_escaped(struct output *out, const char *name, const char *text) {
    put_format(out, " data-%s=\"", name);
    put_html(out, text);
    put_char(out, '"');
}

static void put_loop(const struct page *page, const char *name, const struct loop *loop) {
    if (loop == NULL) return;
    int number = (int)(loop - page->pattern->loops.at);
    put_attribute(page->out, name, "", loop_id(page->figure.layout, page->out->arena, number));
}

static bool on_arc(const struct loop *loop, int hole) {
    if (hole == loop->from || hole == loop->to) return true;
    for (int i = 0; i < loop->pass_count; i++)
        if (loop->passes[i] == hole) return true;
    return false;
}

/* Loops of the same lane that lie there already and go over this one. */
static const char *loops_above(const struct page *page, const struct loop *loop, const bool *laid) {
    const struct pattern *pattern = page->pattern;
    struct output out = output_to(page->out->arena);
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *other = &pattern->loops.at[i];
        bool over = laid[i] && other->lane == loop->lane && other->length > loop->length &&
                    on_arc(other, loop->from) && on_arc(other, loop->to);
        if (!over) continue;
        put_format(&out, "%sbeneath the loop from %s to %s", out.length > 0 ? ", " : "",
                   pattern->frame->holes[other->from].name, pattern->frame->holes[other->to].name);
    }
    return output_text(&out);
}

/* "Loop from 6H to 9H: in front, leave room at 7H 8H"; nothing where it wants nothing. `words` are
 * those of the step list. */
static void put_loop_words(const struct page *page, const char *name, const struct loop *loop,
                           const char *words, bool *laid) {
    if (loop == NULL) return;
    const struct hole *holes = page->pattern->frame->holes;
    const char *above = loops_above(page, loop, laid);
    laid[loop - page->pattern->loops.at] = true;
    if (words[0] == '\0' && above[0] == '\0') return;
    put_escaped(page->out, name,
                format(page->out->arena, "Loop from %s to %s: %s%s%s", holes[loop->from].name,
                       holes[loop->to].name, words,
                       words[0] != '\0' && above[0] != '\0' ? ", " : "", above));
}

/* A strand that waits for its pull for longer than is usual: until which step. */
static void put_waiting(const struct page *page, const struct sheet_row *row) {
    for (size_t i = 0; i < page->sheet->rows.count; i++) {
        const struct sheet_row *other = &page->sheet->rows.at[i];
        if (other->pulls != row->threads || other->again) continue;
        if (other->number <= row->number + 1) return;
        put_escaped(page->out, "waits",
                    format(page->out->arena, "Do not pull it yet: step %d does", other->number));
        return;
    }
}

/* Where the string begins: how the fold lies, and how much of the string goes this way. */
static void put_beginning(const struct page *page, const struct sheet_row *row) {
    const struct pattern *pattern = page->pattern;
    int e = pattern->end_of[row->threads], other = other_end(pattern, e);
    if (pattern->pass_of[row->threads] != 0 || other == NO_END) return;
    const struct hole *holes = pattern->frame->holes;
    const char *own = holes[row->enter].name,
               *there = holes[pattern->ends[other].passes.at[0].enter].name;
    put_escaped(
        page->out, "begin",
        format(page->out->arena,
               "From outside into %s: the fold mark lies on the hoop between %s and %s, and "
               "%s mm of string are on this side of it",
               own, own, there, format_decimal(page->out->arena, pattern->cuts[e].cut, 0)));
}

/* ---- the clamps and what is done with them ---- */

static void put_deeds(const struct page *page, const struct deeds *deeds) {
    static const char *const kinds[] = {"pull", "clamp", "knot"};
    struct output *out = page->out;
    put(out, " data-deeds=\"");
    for (size_t i = 0; i < deeds->list.count; i++) {
        put_format(out, "%s%s=", i > 0 ? "|" : "", kinds[deeds->list.at[i].kind]);
        put_html(out, deeds->list.at[i].words);
    }
    put(out, "\"");
}

static void put_clamps(const struct page *page, const struct deeds *deeds) {
    struct output *out = page->out;
    const struct frame *frame = page->pattern->frame;
    const char *between = "";
    put(out, " data-clamps=\"");
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        for (int i = 0; i < LIMIT_CLAMPS; i++) {
            const struct clamp_place *place = &deeds->clamps[kind][i];
            if (!place->on) continue;
            put_format(out, "%s%s strand-%s hole-%s=%s", between,
                       kind == CLAMP_FIXED ? "fixed" : "starting", frame->strands[place->strand].id,
                       frame->holes[place->hole].id,
                       clamp_words(page->pattern, out->arena, (enum clamp_kind)kind, place));
            between = "|";
        }
    put(out, "\"");
}

/* The hole of a knot, and the strand it goes round. */
static void put_knot(const struct page *page, const struct sheet_row *row) {
    const struct frame *frame = page->pattern->frame;
    for (int i = row->first_move; i <= row->last_move; i++) {
        const struct move *move = &page->pattern->moves.at[i];
        if (move->kind != MOVE_TIE) continue;
        put_attribute(page->out, "tie", "hole-", frame->holes[move->hole].id);
        put_attribute(page->out, "round", "strand-", frame->strands[move->around].id);
    }
}

/* What the script needs to know of a step beyond the words of the table; `before` is what was
 * pulled with before. */
static void put_step_data(const struct page *page, const struct sheet_row *row, const bool *in_bed,
                          bool *laid, const struct deeds *deeds, const char *before) {
    struct output *out = page->out;
    const struct frame *frame = page->pattern->frame;
    put_attribute(out, "end", "", row->end);
    if (row->threads != NO_STRAND) {
        put_attribute(out, "threads", "strand-", frame->strands[row->threads].id);
        put_attribute(out, "name", "", frame->strands[row->threads].name);
        put_attribute(out, "enter", "hole-", frame->holes[row->enter].id);
        put_attribute(out, "leave", "hole-", frame->holes[row->leave].id);
        if (row->woven) put_weave(page, row, in_bed);
        put_beginning(page, row);
        put_waiting(page, row);
    }
    if (row->pulls != NO_STRAND) {
        put_attribute(out, "pulls", "strand-", frame->strands[row->pulls].id);
        if (before != NULL && strcmp(before, row->force) != 0) put_escaped(out, "was", before);
    }
    put_loop(page, "loop", row->loop);
    put_loop_words(page, "loop-words", row->loop, row->loop_words, laid);
    put_loop(page, "knot", row->knot_loop);
    put_loop_words(page, "knot-words", row->knot_loop, row->knot_words, laid);
    put_knot(page, row);
    put_deeds(page, deeds);
    put_clamps(page, deeds);
}

static void put_cell(struct output *out, const char *class_name, const char *text) {
    put_format(out, "<td class=\"is-%s\">", class_name);
    put_html(out, text != NULL ? text : "");
    put(out, "</td>");
}

static void put_pull_cell(struct output *out, const struct sheet_row *row) {
    put(out, "<td class=\"is-pull\">");
    if (row->pulled != NULL) {
        if (row->nth > 0) put_format(out, "<span class=\"is-nth\">%d.</span> ", row->nth);
        put_html(out, row->pulled);
        put(out, " <b>");
        put_html(out, row->force);
        put(out, "</b>");
        if (row->again) put(out, " again");
        if (row->load != NULL) put(out, " ^");
    }
    put(out, "</td>");
}

static void put_steps(const struct page *page) {
    struct output *out = page->out;
    bool *in_bed = arena_many(out->arena, bool, page->pattern->frame->strand_count + 1);
    bool *laid = arena_many(out->arena, bool, page->pattern->loops.count + 1);
    struct deeds *deeds = arena_one(out->arena, struct deeds);
    const char *force = NULL;
    put(out, "<section id=\"list\" aria-labelledby=\"list-title\">\n"
             "<h2 id=\"list-title\">All steps, as seen from the "
             "front</h2>\n<table>\n<thead><tr><th scope=\"col\">#</th>"
             "<th scope=\"col\">end</th><th scope=\"col\" colspan=\"2\">thread or weave</th>"
             "<th scope=\"col\">first</th><th scope=\"col\">pull</th><th scope=\"col\">then</th>"
             "<th scope=\"col\">note</th></tr></thead>\n<tbody>\n");
    for (size_t i = 0; i < page->sheet->rows.count; i++) {
        const struct sheet_row *row = &page->sheet->rows.at[i];
        put_format(out, "<tr id=\"step-%d\"", row->number);
        deeds_of_row(deeds, page->pattern, out->arena, row);
        put_step_data(page, row, in_bed, laid, deeds, force);
        put_format(out, "><th scope=\"row\">%d</th>", row->number);
        put_format(out, "<td class=\"is-end\"><span class=\"line-%s\"></span>%s</td>", row->end,
                   row->end);
        put_cell(out, "strand", row->strand);
        put_cell(out, "way", row->way);
        put_cell(out, "first", row->first);
        put_pull_cell(out, row);
        put_cell(out, "hold", row->hold);
        put_cell(out, "notes", row->notes);
        put(out, "</tr>\n");
        if (row->threads != NO_STRAND) in_bed[row->threads] = true;
        if (row->pulls != NO_STRAND) force = row->force;
    }
    put(out, "</tbody>\n</table>\n</section>\n");
}

/* ---- what to know before the first step ---- */

/* What must be known before the string is cut; the rest is there to look up. */
static bool is_needed(enum sheet_matter about) {
    return about >= ABOUT_STRING && about <= ABOUT_CLAMPS;
}

static void put_fact_rows(const struct page *page, bool needed) {
    struct output *out = page->out;
    const char *last = "";
    put(out, "<dl>\n");
    for (size_t i = 0; i < page->sheet->facts.count; i++) {
        const struct sheet_fact *fact = &page->sheet->facts.at[i];
        if (is_needed(fact->about) != needed) continue;
        const char *name =
            fact->about == ABOUT_END ? format(out->arena, "%s end of it", fact->end) : fact->name;
        put_html_fact(out, strcmp(fact->name, last) != 0 ? name : "", fact->text);
        last = fact->name;
    }
    for (size_t i = 0; needed && i < page->sheet->notes.count; i++)
        put_html_fact(out, "Note", page->sheet->notes.at[i]);
    put(out, "</dl>\n");
}

static const char signs[] =
    "<section id=\"signs\" aria-labelledby=\"signs-title\">\n"
    "<h2 id=\"signs-title\">Words and signs</h2>\n<dl>\n"
    "<dt>in front, behind</dt><dd>where a loop lies on the outside of the hoop: on the side of the "
    "face that is "
    "up, or on the other</dd>\n"
    "<dt>leave room at 7H</dt><dd>the loop passes a hole that is still to be threaded: keep it "
    "clear of it</dd>\n"
    "<dt>no word of a loop</dt><dd>it goes in front, to the next hole</dd>\n"
    "<dt>ring, disc</dt><dd>the hole a strand goes into, and the one it comes out of</dd>\n"
    "<dt>yellow band</dt><dd>the strand and the loop at hand; a dashed green band: the strand to "
    "pull</dd>\n"
    "<dt>bar across a strand</dt><dd>a fixed clamp after this step; a triangle outside the hoop: "
    "the starting "
    "clamp</dd>\n"
    "<dt>black diamond</dt><dd>a knot; large holes have room for one, a number in a box is a first "
    "hole</dd>\n"
    "<dt>solid, dashed, dotted</dt><dd>the strings of the long or left end, of the short or right "
    "end, of the "
    "crosses; outside the hoop a dashed loop lies behind</dd>\n"
    "</dl>\n</section>\n";

static void put_facts(const struct page *page) {
    struct output *out = page->out;
    put(out, "<section id=\"facts\" aria-labelledby=\"facts-title\">\n"
             "<h2 id=\"facts-title\">Before the first step</h2>\n<div id=\"needed\">\n"
             "<ul class=\"cautions\">\n");
    put_html_items(out, sheet_cautions);
    put(out, "</ul>\n");
    put_fact_rows(page, true);
    put(out, "</div>\n");
    put_fact_rows(page, false);
    put(out, "</section>\n");
    put(out, signs);
}

/* ---- the whole ---- */

/* Names the place where the page remembers its step: another one for every change of what it says.
 * FNV-1a, 32 bits. */
static uint32_t digest_of(const char *bytes, size_t length) {
    uint32_t digest = 2166136261u;
    for (size_t i = 0; i < length; i++)
        digest = (digest ^ (unsigned char)bytes[i]) * 16777619u;
    return digest;
}

static const char panel[] =
    "<section id=\"now\" aria-labelledby=\"where\">\n"
    "<div id=\"top\"><p id=\"where\"></p><button type=\"button\" id=\"return\" "
    "hidden=\"\"></button></div>\n"
    "<progress id=\"progress\" aria-label=\"How far the job is\" value=\"0\"></progress>\n"
    "<div id=\"step\" tabindex=\"0\" role=\"group\" aria-label=\"The step\"></div>\n"
    "<p id=\"said\" class=\"unseen\" role=\"status\"></p>\n"
    "<div id=\"moves\"><button type=\"button\" id=\"back\">Back</button>"
    "<button type=\"button\" id=\"next\">Next</button></div>\n"
    "</section>\n";

static const char tools[] =
    "<div id=\"tools\" role=\"group\" aria-label=\"View\">\n"
    "<button type=\"button\" id=\"turn\" aria-pressed=\"false\">Throat up</button>\n"
    "<button type=\"button\" id=\"mirror\" aria-pressed=\"false\">From the back</button>\n"
    "<button type=\"button\" id=\"left-handed\" aria-pressed=\"false\">Left-handed</button>\n"
    "<button type=\"button\" id=\"dark\" aria-pressed=\"false\">Dark</button>\n"
    "<button type=\"button\" id=\"print\">Print</button>\n</div>\n";

static void put_head(const struct page *page) {
    struct output *out = page->out;
    put(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
             "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>");
    put_html(out, page->sheet->racket);
    put(out, ": ");
    put_html(out, page->sheet->pattern);
    put(out, "</title>\n<style>\n");
    put_figure_style(out);
    put_figure_sizes(&page->figure, "", out);
    put_lines(out, page_css);
    put(out, "</style>\n</head>\n");
}

/* What the frame feels, where that was asked for: a sheet of paper in light and dark alike. */
static void put_felt(const struct page *page) {
    struct output *out = page->out;
    if (page->pattern->bed == NULL) return;
    put(out, "<section id=\"felt\" aria-labelledby=\"felt-heading\" style=\"padding:1rem .8rem;"
             "border-top:1px solid var(--rule);break-before:page\">\n"
             "<h2 id=\"felt-heading\">What the frame feels</h2>\n");
    put_bed_picture(page->pattern->bed, "felt-", out);
    put(out, "</section>\n");
}

static void put_body(const struct page *page) {
    put_picture(page);
    put(page->out, panel);
    put(page->out, "</main>\n");
    put_facts(page);
    put_steps(page);
    put_felt(page);
}

void emit_page(const struct pattern *pattern, struct output *out) {
    struct page page = page_of(pattern, out);
    put_head(&page);
    struct output body = output_to(out->arena);
    page.out = &body;
    put_body(&page);
    put_format(out, "<body data-job=\"%s-%08" PRIx32 "\">\n<header>\n<h1>", pattern->name,
               digest_of(body.at, body.length));
    put_html(out, page.sheet->racket);
    put(out, ": <span>");
    put_html(out, page.sheet->pattern);
    put(out, "</span></h1>\n");
    put(out, tools);
    put(out, "</header>\n<main>\n");
    put(out, output_text(&body));
    put(out, "<script>\n");
    put_lines(out, page_js);
    put(out, "</script>\n</body>\n</html>\n");
}
