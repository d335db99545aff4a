/* What the frame feels, drawn: a page with its words, in which the panels have their areas. */
#include "emit/bed.h"
#include "emit/bedpanel.h"
#include "emit/type.h"

#include <math.h>

#define PAGE_HEIGHT 297.0
#define TITLE_SIZE 5.0

enum { TITLE_LINES = 2 }; /* a longer one is cut off: the document's own title has all of it */

static const char style_sheet[] =
    ".bed text{font-family:'DejaVu Sans','Liberation Sans',Arial,sans-serif;font-size:2.3px;"
    "fill:#111;stroke:none}\n"
    ".bed .bed-title{font-size:5px;font-weight:bold}\n"
    ".bed .bed-subtitle{font-size:3.4px;fill:#333}\n"
    ".bed .bed-heading{font-size:3.2px;font-weight:bold}\n"
    ".bed .bed-words{font-size:2.5px}\n"
    ".bed .bed-bold{font-size:2.5px;font-weight:bold}\n"
    ".bed .bed-middle{text-anchor:middle}\n"
    ".bed .bed-end{text-anchor:end}\n"
    ".bed .bed-name{fill:#555}\n"
    ".bed .bed-paper{fill:#fff;stroke:none}\n"
    ".bed path,.bed circle{fill:none}\n"
    ".bed .bed-hoop{fill:#e9e8e4;stroke:#555;stroke-width:.25}\n"
    ".bed .bed-case{stroke:#222}\n"
    ".bed .bed-c0{stroke:#f6eed4}\n"
    ".bed .bed-c1{stroke:#d9dbae}\n"
    ".bed .bed-c2{stroke:#a5c7a1}\n"
    ".bed .bed-c3{stroke:#66a89f}\n"
    ".bed .bed-c4{stroke:#3a8096}\n"
    ".bed .bed-c5{stroke:#2a5580}\n"
    ".bed .bed-c6{stroke:#1b2853}\n"
    ".bed .bed-slack{stroke:#222;stroke-width:.3;stroke-dasharray:1 .8}\n"
    ".bed .bed-hair{stroke:#777;stroke-width:.15}\n"
    ".bed .bed-axis{stroke:#333;stroke-width:.25}\n"
    ".bed .bed-grid{stroke:#ccc;stroke-width:.15}\n"
    ".bed .bed-zero{stroke:#777;stroke-width:.25}\n"
    ".bed .bed-band{fill:#efefec;stroke:none}\n"
    ".bed .bed-before{stroke:#333;stroke-width:.25;stroke-dasharray:.7 .7}\n"
    ".bed .bed-after{stroke:#8c8c8c;stroke-width:1}\n"
    ".bed .bed-mains{stroke:#000;stroke-width:.3;stroke-dasharray:2.4 .8 .5 .8}\n"
    ".bed .bed-peak{stroke:#000;stroke-width:.4;stroke-dasharray:3 1.1}\n"
    ".bed .bed-first{stroke:#111;stroke-width:.6}\n"
    ".bed .bed-second{stroke:#a33c00;stroke-width:.5;stroke-dasharray:2 .9}\n"
    ".bed .bed-support{fill:#bbb;stroke:#444;stroke-width:.2}\n"
    ".bed .bed-dot{fill:#111;stroke:#fff;stroke-width:.2}\n"
    ".bed .bed-most{fill:#fff;stroke:#111;stroke-width:.5}\n";

/* ---- what the panels share ---- */

struct point on_paper(struct view view, struct point at) {
    return (struct point){view.origin.x + at.x * view.scale, view.origin.y + at.y * view.scale};
}

void open_panel(const struct bed_picture *picture, const char *id, struct area area,
                const char *letter, const char *heading) {
    struct output *out = picture->out;
    put_format(out, "<g id=\"%s%s\">\n", picture->prefix, id);
    svg_title(out, heading);
    put_char(out, '\n');
    struct point at = {area.left, area.top + BED_HEADING};
    svg_label(out, "bed-heading", at, format(out->arena, "%s  %s", letter, heading));
}

void close_panel(const struct bed_picture *picture) { put(picture->out, "</g>\n"); }

double put_bed_words(const struct bed_picture *picture, const char *class_name, struct point at,
                     double width, const char *text) {
    struct text_lines broken = break_text(picture->out->arena, text, BED_WORDS, width);
    for (size_t i = 0; i < broken.lines.count; i++)
        svg_label(picture->out, class_name, (struct point){at.x, at.y + BED_LINE * (double)i},
                  broken.lines.at[i]);
    return at.y + BED_LINE * ((double)broken.lines.count - 1);
}

const char *fixed_words(const struct bed_picture *picture, double value, int decimals) {
    struct output out = output_to(picture->out->arena);
    put_fixed(&out, value, decimals);
    return output_text(&out);
}

/* ---- the words ---- */

static const char *change_of(const struct bed_picture *picture, enum figure figure) {
    return change_range(picture->bed->sweep->figures[0][figure], picture->out->arena);
}

static const char *mean_of(const struct bed_picture *picture, enum kind kind) {
    int figure = evenness_figure(kind, true, EVENNESS_MEAN);
    return tension_range(picture->bed, picture->bed->sweep->figures[0][figure],
                         picture->out->arena);
}

static const char *off_words(const struct bed_picture *picture) {
    struct output out = output_to(picture->out->arena);
    put_format(&out,
               "Off the machine: width %s, length %s, bent by %s; tension of the mains %s on "
               "average",
               change_of(picture, FIGURE_WIDTH), change_of(picture, FIGURE_LENGTH),
               moment_range(picture->bed->sweep->figures[0][FIGURE_MOMENT], out.arena),
               mean_of(picture, MAIN));
    if (picture->bed->pattern->frame->cross_count > 0)
        put_format(&out, ", of the crosses %s", mean_of(picture, CROSS));
    put_char(&out, '.');
    return output_text(&out);
}

static const char *on_words(const struct bed_picture *picture) {
    struct arena *arena = picture->out->arena;
    return format(arena,
                  "On the machine: widest %s, narrowest %s, longest %s, shortest %s, bent by %s at "
                  "the most.",
                  change_of(picture, FIGURE_WIDEST), change_of(picture, FIGURE_NARROWEST),
                  change_of(picture, FIGURE_LONGEST), change_of(picture, FIGURE_SHORTEST),
                  moment_range(picture->bed->sweep->figures[0][FIGURE_MOMENT_PEAK], arena));
}

static void put_facts(struct output *out, const struct bed *bed, bool assumed, const char *head) {
    const char *words = facts_words(bed, assumed, out->arena);
    if (words[0] != '\0') put_format(out, "%s%s. ", head, words);
}

static const char *value_words(const struct bed_picture *picture) {
    struct output out = output_to(picture->out->arena);
    put_facts(&out, picture->bed, false, "Given: ");
    put_facts(&out, picture->bed, true, "Assumed: ");
    put_format(&out, "In brackets: the least and the most over what is not known: %s.",
               varied_words(picture->bed->known, picture->bed->sweep->sets, picture->out->arena));
    return output_text(&out);
}

static const char *left_out_words(const struct bed_picture *picture) {
    return format(picture->out->arena, "Reckoned, not measured. Left out: %s.", felt_left_out);
}

/* Gives the foot of the last line. */
static double put_head(const struct bed_picture *picture, double left, double width) {
    struct output *out = picture->out;
    const struct pattern *pattern = picture->bed->pattern;
    put_format(out, "<g id=\"%swords\">\n", picture->prefix);
    struct text_lines title = break_text(
        out->arena,
        format(out->arena, "%s: %s", frame_title(pattern->frame), pattern_title(pattern)),
        TITLE_SIZE * BOLD_WIDER, width - TITLE_SIZE);
    double y = 14;
    for (size_t i = 0; i < title.lines.count && i < TITLE_LINES; i++, y += 6) {
        bool cut = i + 1 == TITLE_LINES && title.lines.count > TITLE_LINES;
        svg_label(out, "bed-title", (struct point){left, y},
                  format(out->arena, "%s%s", title.lines.at[i], cut ? "..." : ""));
    }
    svg_label(out, "bed-subtitle", (struct point){left, y - 0.4}, "What the frame feels");
    const char *const texts[] = {off_words(picture), on_words(picture), value_words(picture),
                                 left_out_words(picture)};
    y += 0.8;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        y = put_bed_words(picture, "bed-words", (struct point){left, y + BED_LINE + 0.6}, width,
                          texts[i]);
    put(out, "</g>\n");
    return y;
}

/* ---- the page ---- */

static const char *description(const struct bed_picture *picture) {
    struct output out = output_to(picture->out->arena);
    const struct bed *bed = picture->bed;
    put_format(
        &out,
        "Three panels. The bed: %d mains and %d crosses, each as a bar that is the darker "
        "and the thicker the more tension it has off the machine. The hoop: its inside "
        "before, when it is bent most on the machine, and off it. Plots of width, length and "
        "bending moment over the steps. ",
        bed->pattern->frame->main_count, bed->pattern->frame->cross_count);
    put_format(&out, "%s %s %s", off_words(picture), on_words(picture), left_out_words(picture));
    return output_text(&out);
}

/* A hoop that is much wider than long has the page's width, the shape below; any other has the
 * shape beside it. */
static void put_panels(const struct bed_picture *picture) {
    const struct outline *outline = &picture->bed->pattern->frame->outline;
    const double margin = 10, width = A4_WIDTH - 2 * margin, gap = 6, plot = 70;
    double top = put_head(picture, margin, width) + gap;
    double low = PAGE_HEIGHT - margin - plot - gap;
    struct area map = {margin, top, width, low - top}, legend = map, shape = map;
    if (outline->width > 1.7 * outline->length) {
        const double classes = 17;
        map.height = (low - top - classes) * 0.58;
        legend.top = top + map.height + gap / 2;
    } else {
        const double least_shape = 77, heading = 77;
        map.width =
            fmin(fmax(bed_map_width(picture, map.height), heading), width - least_shape - gap);
        legend.left = shape.left = margin + map.width + gap;
        legend.width = shape.width = width - map.width - gap;
    }
    shape.top = put_bed_map(picture, map, legend) + gap;
    shape.height = low - shape.top;
    put_bed_shape(picture, shape);
    put_bed_plot(picture, (struct area){margin, PAGE_HEIGHT - margin - plot, width, plot});
}

static void put_mm(struct output *out, const char *name, double mm) {
    put_format(out, " %s=\"", name);
    put_decimal(out, mm, 2);
    put(out, "mm\"");
}

/* What stands in an <svg> that is begun. */
static void put_content(const struct bed *bed, const char *prefix, const char *rules,
                        struct output *out) {
    struct bed_picture picture = {.bed = bed,
                                  .sheet = sheet_of(bed->pattern, out->arena),
                                  .prefix = prefix,
                                  .unit = pull_unit(bed->pattern, 0),
                                  .out = out};
    const struct pattern *pattern = bed->pattern;
    put_format(out, ">\n<title id=\"%stitle\">", prefix);
    svg_text(out, format(out->arena, "%s: %s, what the frame feels", frame_title(pattern->frame),
                         pattern_title(pattern)));
    put_format(out, "</title>\n<desc id=\"%sdescription\">", prefix);
    svg_text(out, description(&picture));
    put(out, "</desc>\n<style type=\"text/css\">\n");
    put(out, style_sheet);
    put(out, rules);
    put(out, "</style>\n");
    svg_box(out, "bed-paper", (struct point){A4_WIDTH / 2, PAGE_HEIGHT / 2}, A4_WIDTH, PAGE_HEIGHT,
            0);
    put_panels(&picture);
    put(out, "</svg>\n");
}

/* On screen as wide as there is room, on paper no higher than a page. */
static const char page_rules[] = "section .bed{display:block;width:100%;max-width:62rem}\n"
                                 "@media print{section .bed{max-height:232mm}}\n";

void put_bed_picture(const struct bed *bed, const char *prefix, struct output *out) {
    put_format(out,
               "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"bed\" viewBox=\"0 0 210 297\" "
               "role=\"img\" aria-labelledby=\"%stitle %sdescription\"",
               prefix, prefix);
    put_content(bed, prefix, page_rules, out);
}

void emit_bed_page(const struct bed *bed, double width, double height, struct output *out) {
    put(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg "
             "xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" class=\"bed\"");
    put_mm(out, "width", width);
    put_mm(out, "height", height);
    put(out, " viewBox=\"0 0 210 297\" xml:lang=\"en\"");
    put_content(bed, "", "", out);
}

void emit_bed_picture(const struct bed *bed, struct output *out) {
    emit_bed_page(bed, A4_WIDTH, PAGE_HEIGHT, out);
}
