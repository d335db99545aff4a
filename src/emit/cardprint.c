/* A card as SVG, once everything on it has its place. */
#include "emit/card.h"

#include <string.h>

/* Sizes as emit/card.c measures them. */
static const char style_sheet[] = ".card-title{fill:#111}\n"
                                  ".card-subtitle{fill:#111}\n"
                                  ".card-kind{font-size:3px;fill:#333}\n"
                                  ".card-short{font-size:2.5px;fill:#333}\n"
                                  ".card-elsewhere{font-size:2.5px;fill:#111}\n"
                                  ".card-caution{font-size:2.5px;fill:#111}\n"
                                  ".card-heading{font-size:2.6px;font-weight:bold}\n"
                                  ".card-head{font-size:2.3px;fill:#444}\n"
                                  ".card-text{font-size:2.3px}\n"
                                  ".card-strong{font-size:2.3px;font-weight:bold}\n"
                                  ".card-note{font-size:2.3px;fill:#444}\n"
                                  ".card-rule{fill:none;stroke:#111;stroke-width:.35}\n"
                                  ".card-line{fill:none;stroke:#111;stroke-width:.2}\n"
                                  ".card-hair{fill:none;stroke:#999;stroke-width:.12}\n";

void put_card_style(struct output *out) { put(out, style_sheet); }

void put_card_sizes(const struct card *card, const char *id, struct output *out) {
    put_figure_sizes(&card->figure, format(out->arena, "#%s ", id), out);
}

/* ` transform="translate(x y) scale(s)"` */
static void put_transform(struct output *out, struct point at, double scale) {
    put(out, " transform=\"translate(");
    put_decimal(out, at.x, 3);
    put_char(out, ' ');
    put_decimal(out, at.y, 3);
    put(out, ") scale(");
    put_decimal(out, scale, 5);
    put(out, ")\"");
}

static void put_text_mark(const struct card_mark *mark, struct output *out) {
    put_format(out, "<text class=\"%s\"", mark->class_name);
    svg_number(out, "x", mark->at.x);
    svg_number(out, "y", mark->at.y);
    if (mark->size > 0) svg_number(out, "font-size", mark->size);
    if (mark->ends) put(out, " text-anchor=\"end\"");
    put_char(out, '>');
    svg_text(out, mark->text);
    put(out, "</text>\n");
}

/* Samples and signs are in the measure of the drawing. */
static void put_key_mark(const struct card *card, const struct card_mark *mark,
                         struct output *out) {
    double unit = card->figure.layout->unit;
    struct point origin = {0, 0};
    put(out, "<g");
    put_transform(out, mark->at, 1 / unit);
    put(out, ">\n");
    if (mark->kind == MARK_SAMPLE)
        put_end_sample(&card->figure, mark->number, origin, mark->to.x * unit, out);
    else
        put_figure_sign(&card->figure, (enum figure_sign)mark->number, origin, out);
    put(out, "</g>\n");
}

static void put_mark(const struct card *card, const struct card_mark *mark, struct output *out) {
    switch (mark->kind) {
    case MARK_TEXT: put_text_mark(mark, out); break;
    case MARK_RULE: svg_segment(out, mark->class_name, mark->at, mark->to); break;
    case MARK_SAMPLE:
    case MARK_SIGN: put_key_mark(card, mark, out); break;
    }
}

void put_card(const struct card *card, const char *id, struct point at, double scale,
              struct output *out) {
    struct area area = figure_area(&card->figure);
    double unit = card->figure.layout->unit;
    struct point corner = {card->figure_at.x - area.left / unit,
                           card->figure_at.y - area.top / unit};
    put_format(out, "<g id=\"%s\" class=\"card\"", id);
    put_transform(out, at, scale);
    put(out, ">\n<g class=\"card-figure\"");
    put_transform(out, corner, 1 / unit);
    put(out, ">\n");
    svg_title(out, figure_description(card->figure.layout->pattern, out->arena));
    put_char(out, '\n');
    put_figure(&card->figure, out);
    put(out, "</g>\n");
    for (size_t i = 0; i < card->marks.count; i++)
        put_mark(card, &card->marks.at[i], out);
    put(out, "</g>\n");
}
