/* The bench page, HTML: drawing and step list in one file that asks for nothing outside it. What is
 * shown is written here; web/page.js only lights it and moves on. */
#include "emit/emit.h"
#include "emit/figure.h"
#include "emit/html.h"
#include "emit/sheet.h"

#include "web.inc"

#include <inttypes.h>

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
    put_html(out, figure_description(&page->figure, out->arena));
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

static void put_loop(const struct page *page, const char *name, const struct loop *loop) {
    if (loop == NULL) return;
    int number = (int)(loop - page->pattern->loops.at);
    put_attribute(page->out, name, "", loop_id(page->figure.layout, page->out->arena, number));
}

/* What the script needs to know of a step beyond its words. */
static void put_step_data(const struct page *page, const struct sheet_row *row,
                          const bool *in_bed) {
    struct output *out = page->out;
    const struct frame *frame = page->pattern->frame;
    put_format(out, " data-end=\"%s\"", row->end);
    if (row->threads != NO_STRAND) {
        put_attribute(out, "threads", "strand-", frame->strands[row->threads].id);
        put_attribute(out, "enter", "hole-", frame->holes[row->enter].id);
        put_attribute(out, "leave", "hole-", frame->holes[row->leave].id);
        if (row->woven) put_weave(page, row, in_bed);
    }
    if (row->pulls != NO_STRAND)
        put_attribute(out, "pulls", "strand-", frame->strands[row->pulls].id);
    put_loop(page, "loop", row->loop);
    put_loop(page, "knot", row->knot_loop);
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
    }
    put(out, "</td>");
}

static void put_steps(const struct page *page) {
    struct output *out = page->out;
    bool *in_bed = arena_many(out->arena, bool, page->pattern->frame->strand_count + 1);
    put(out, "<section id=\"list\" aria-labelledby=\"list-title\">\n"
             "<h2 id=\"list-title\">All steps</h2>\n<table>\n<thead><tr><th scope=\"col\">#</th>"
             "<th scope=\"col\">end</th><th scope=\"col\" colspan=\"2\">thread or weave</th>"
             "<th scope=\"col\">first</th><th scope=\"col\">pull</th><th scope=\"col\">then</th>"
             "<th scope=\"col\">note</th></tr></thead>\n<tbody>\n");
    for (size_t i = 0; i < page->sheet->rows.count; i++) {
        const struct sheet_row *row = &page->sheet->rows.at[i];
        put_format(out, "<tr id=\"step-%d\"", row->number);
        put_step_data(page, row, in_bed);
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
    }
    put(out, "</tbody>\n</table>\n</section>\n");
}

/* ---- what to know before the first step ---- */

static void put_facts(const struct page *page) {
    struct output *out = page->out;
    const struct sheet *sheet = page->sheet;
    put(out, "<section id=\"facts\" aria-labelledby=\"facts-title\">\n"
             "<h2 id=\"facts-title\">Before the first step</h2>\n<ul class=\"cautions\">\n");
    for (size_t i = 0; sheet_cautions[i] != NULL; i++) {
        put(out, "<li>");
        put_html(out, sheet_cautions[i]);
        put(out, "</li>\n");
    }
    put(out, "</ul>\n<dl>\n");
    for (size_t i = 0; i < sheet->facts.count; i++) {
        put(out, "<dt>");
        put_html(out, sheet->facts.at[i].name);
        put(out, "</dt><dd>");
        put_html(out, sheet->facts.at[i].text);
        put(out, "</dd>\n");
    }
    for (size_t i = 0; i < sheet->notes.count; i++) {
        put(out, "<dt>Note</dt><dd>");
        put_html(out, sheet->notes.at[i]);
        put(out, "</dd>\n");
    }
    put(out, "</dl>\n</section>\n");
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
    "<p id=\"where\"></p>\n"
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

static void put_body(const struct page *page) {
    put_picture(page);
    put(page->out, panel);
    put(page->out, "</main>\n");
    put_facts(page);
    put_steps(page);
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
