/* Pieces of SVG. */
#include "emit/svg.h"

void svg_text(struct output *out, const char *text) {
    for (; *text != '\0'; text++) {
        switch (*text) {
        case '<': put(out, "&lt;"); break;
        case '>': put(out, "&gt;"); break;
        case '&': put(out, "&amp;"); break;
        case '"': put(out, "&quot;"); break;
        case '\'': put(out, "&#39;"); break;
        default:
            if ((unsigned char)*text >= ' ' || *text == '\t') put_char(out, *text);
        }
    }
}

void svg_number(struct output *out, const char *name, double value) {
    put_char(out, ' ');
    put(out, name);
    put(out, "=\"");
    put_decimal(out, value, 2);
    put_char(out, '"');
}

static void put_point(struct output *out, char letter, struct point at) {
    put_char(out, letter);
    put_decimal(out, at.x, 2);
    put_char(out, ' ');
    put_decimal(out, at.y, 2);
}

void svg_move(struct output *out, struct point at) { put_point(out, 'M', at); }
void svg_line(struct output *out, struct point at) { put_point(out, 'L', at); }

void svg_cubic(struct output *out, const struct point at[3]) {
    put_point(out, 'C', at[0]);
    put_point(out, ' ', at[1]);
    put_point(out, ' ', at[2]);
}

void svg_title(struct output *out, const char *text) {
    put(out, "<title>");
    svg_text(out, text);
    put(out, "</title>");
}

/* `<path class="..."`; without a class where it stands on the group. */
static void open_element(struct output *out, const char *name, const char *class_name) {
    put_char(out, '<');
    put(out, name);
    if (class_name == NULL) return;
    put(out, " class=\"");
    put(out, class_name);
    put_char(out, '"');
}

void svg_label(struct output *out, const char *class_name, struct point at, const char *text) {
    open_element(out, "text", class_name);
    svg_number(out, "x", at.x);
    svg_number(out, "y", at.y);
    put_char(out, '>');
    svg_text(out, text);
    put(out, "</text>\n");
}

void svg_segment(struct output *out, const char *class_name, struct point from, struct point to) {
    open_element(out, "path", class_name);
    put(out, " d=\"");
    svg_move(out, from);
    svg_line(out, to);
    put(out, "\"/>\n");
}

void svg_circle(struct output *out, const char *class_name, struct point at, double radius) {
    open_element(out, "circle", class_name);
    svg_number(out, "cx", at.x);
    svg_number(out, "cy", at.y);
    svg_number(out, "r", radius);
    put(out, "/>\n");
}

void svg_box(struct output *out, const char *class_name, struct point centre, double width,
             double height, double corner) {
    open_element(out, "rect", class_name);
    svg_number(out, "x", centre.x - width / 2);
    svg_number(out, "y", centre.y - height / 2);
    svg_number(out, "width", width);
    svg_number(out, "height", height);
    if (corner > 0) svg_number(out, "rx", corner);
    put(out, "/>\n");
}
