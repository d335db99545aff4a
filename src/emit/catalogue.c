/* The index and the pages of a catalogue, HTML that is well-formed XML too. Everything is there
 * without a script; the scripts in web/ search and filter, and find the way back. */
#include "emit/catalogue.h"

#include "emit/bed.h"
#include "emit/figure.h"
#include "emit/html.h"
#include "emit/sheet.h"

#include "catalogue.inc"

/* A style or a script may hold what XML takes for markup. */
#define OPEN_STYLE "<style>/*<![CDATA[*/\n"
#define CLOSE_STYLE "/*]]>*/</style>\n"
#define OPEN_SCRIPT "<script>/*<![CDATA[*/\n"
#define CLOSE_SCRIPT "/*]]>*/</script>\n"

static const char *const document_head[] = {
    "<!DOCTYPE html>\n",
    "<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">\n",
    "<head>\n",
    "<meta charset=\"utf-8\" />\n",
    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\" />\n",
    "<meta name=\"color-scheme\" content=\"light dark\" />\n",
    "<meta name=\"generator\" content=\"Selvage catalogue\" />\n",
    NULL};

/* ---- what stands round the cards ---- */

static const char *const index_title[] = {"<title>Stringing patterns</title>\n", OPEN_STYLE, NULL};

/* The choices are made of what the cards say, by the script; without it there is no form. */
#define CHOICE(id, label)                                                                          \
    "<p><label for=\"" id "\">" label "</label><select id=\"" id                                   \
    "\"><option value=\"\">any</option></select></p>\n"

static const char *const index_top[] = {
    CLOSE_STYLE "</head>\n<body class=\"index\">\n",
    "<a class=\"skip\" href=\"#patterns\">To the patterns</a>\n",
    "<header><h1>Stringing patterns</h1>", NULL};

/* Which sides all are strung with. */
static const char *const as_written[] = {NULL};
static const char *const mirrored[] = {
    "\n<p class=\"sides-asked\">Strung with the sides exchanged, left for right: not as the files "
    "say.</p>\n",
    NULL};
static const char *const long_side_left[] = {
    "\n<p class=\"sides-asked\">Strung with the long side on the left. Where a file says otherwise "
    "the sides are exchanged, and the card says so; two pieces are as written.</p>\n",
    NULL};
static const char *const long_side_right[] = {
    "\n<p class=\"sides-asked\">Strung with the long side on the right. Where a file says "
    "otherwise "
    "the sides are exchanged, and the card says so; two pieces are as written.</p>\n",
    NULL};

static const char *const index_list[] = {
    "</header>\n",
    "<main>\n",
    "<form id=\"filter\" role=\"search\" aria-label=\"Patterns\" hidden=\"hidden\">\n",
    "<p class=\"words\"><label for=\"words\">Search</label><input type=\"search\" id=\"words\" "
    "autocomplete=\"off\" spellcheck=\"false\" aria-describedby=\"hint\" />"
    "<span id=\"hint\">title, name, frame, sport, string, pieces, or a size: 16 x 19</span></p>\n",
    CHOICE("sport", "Sport"),
    CHOICE("string", "String"),
    CHOICE("pieces", "Pieces"),
    CHOICE("size", "Mains x crosses"),
    "<p><button type=\"reset\">Show all</button></p>\n",
    "</form>\n",
    "<p id=\"count\" role=\"status\"></p>\n",
    "<p id=\"none\" hidden=\"hidden\">No pattern has all of that. Fewer words or a choice less "
    "may find one.</p>\n",
    "<ul id=\"patterns\" class=\"cards\">\n",
    NULL};

static const char *const index_foot[] = {
    "</ul>\n</main>\n",
    "<footer><p>Wear eye protection when you string, stay within the tension range printed on the "
    "frame, and let the maker's instructions come first.</p></footer>\n" OPEN_SCRIPT,
    NULL};

static const char *const document_foot[] = {CLOSE_SCRIPT "</body>\n</html>\n", NULL};

/* The line of a number in lists read one after another. */
static const char *line_of(const char *const *const *lists, size_t line) {
    for (; *lists != NULL; lists++)
        for (const char *const *at = *lists; *at != NULL; at++)
            if (line-- == 0) return *at;
    return NULL;
}

const char *catalogue_head(enum selvage_sides sides, size_t part) {
    static const char *const *const of_sides[] = {[SELVAGE_AS_WRITTEN] = as_written,
                                                  [SELVAGE_MIRRORED] = mirrored,
                                                  [SELVAGE_LONG_SIDE_LEFT] = long_side_left,
                                                  [SELVAGE_LONG_SIDE_RIGHT] = long_side_right};
    const char *const *const lists[] = {document_head,   index_title, catalogue_css, index_top,
                                        of_sides[sides], index_list,  NULL};
    return line_of(lists, part);
}

const char *catalogue_tail(size_t part) {
    static const char *const *const lists[] = {index_foot, catalogue_js, document_foot, NULL};
    return line_of(lists, part);
}

/* ---- words ---- */

static const char *string_title(const struct string *string) {
    return string->title != NULL ? string->title : string->name;
}

static const char *pieces_words(const struct pattern *pattern) {
    return pattern->string_count == 1 ? "one piece" : "two pieces";
}

/* "9.49 m", "mains 6.10 m, crosses 5.62 m" */
static void put_cut(struct output *out, const struct pattern *pattern) {
    static const char *const of[] = {"mains ", ", crosses "};
    for (int i = 0; i < pattern->string_count; i++) {
        if (pattern->string_count > 1) put(out, of[i]);
        put_fixed(out, pattern->pieces[i].cut / 1000, 2);
        put(out, " m");
    }
}

static void put_minutes(struct output *out, const struct pattern *pattern) {
    put(out, "about ");
    put_fixed(out, pattern->work.time / 60, 0);
    put(out, " min");
}

/* ` name="value"` */
static void put_attribute(struct output *out, const char *name, const char *value) {
    put_format(out, " %s=\"", name);
    put_html(out, value);
    put_char(out, '"');
}

/* "NAME.svg": a file of a pattern, as seen from its page. */
static void put_file(struct output *out, const struct pattern *pattern,
                     enum selvage_output output) {
    put_html(out, pattern->name);
    put(out, emit_suffix(output));
}

/* ---- cards ---- */

#define A4_HEIGHT 297.0

/* Both strings where they are not one. */
static int strings_of(const struct pattern *pattern, const struct string *strings[2]) {
    int count = 0;
    if (pattern->mains_string != NULL) strings[count++] = pattern->mains_string;
    bool other = pattern->string_count > 1 && pattern->crosses_string != pattern->mains_string;
    if (other && pattern->crosses_string != NULL) strings[count++] = pattern->crosses_string;
    return count;
}

static void put_strings(struct output *out, const struct pattern *pattern) {
    const struct string *strings[2];
    int count = strings_of(pattern, strings);
    if (count == 0) put(out, "any");
    for (int i = 0; i < count; i++) {
        put_format(out, "%s<span class=\"string\">", i > 0 ? ", " : "");
        put_html(out, string_title(strings[i]));
        put(out, "</span>");
    }
}

/* What is searched besides what the card shows, by the names that stand in the text. */
static void put_names(struct output *out, const struct pattern *pattern) {
    const struct string *strings[2];
    int count = strings_of(pattern, strings);
    put(out, " data-names=\"");
    put_html(out, pattern->name);
    put_char(out, ' ');
    put_html(out, pattern->frame->name);
    for (int i = 0; i < count; i++) {
        put_char(out, ' ');
        put_html(out, strings[i]->name);
    }
    put_char(out, '"');
}

/* The drawing's file, of which the frame alone is shown. The picture keeps the shape of its paper;
 * what that lets in above and below is cut away. */
static void put_small_drawing(struct output *out, const struct pattern *pattern) {
    struct figure figure = {.layout = lay_out_drawing(pattern, out->arena), .prefix = ""};
    struct area area = figure_area(&figure);
    double view[] = {area.left, area.top, area.width, area.height};
    double height = area.width * A4_HEIGHT / A4_WIDTH;
    put(out, "<span class=\"picture\"><img alt=\"\" loading=\"lazy\" width=\"210\" height=\"297\"");
    if (height > area.height) {
        put(out, " style=\"clip-path:inset(");
        put_decimal(out, (height - area.height) / height * 50 + 1, 1);
        put(out, "% 0)\"");
    }
    put(out, " src=\"");
    put_html(out, pattern->name);
    put_char(out, '/');
    put_file(out, pattern, SELVAGE_DRAWING);
    put(out, "#svgView(viewBox(");
    for (int i = 0; i < 4; i++) {
        if (i > 0) put_char(out, ',');
        put_decimal(out, view[i], 2);
    }
    put(out, "))\" /></span>\n");
}

void emit_card(const struct pattern *pattern, struct output *out) {
    const struct frame *frame = pattern->frame;
    const char *size = pattern_size(frame, out->arena);
    put(out, "<li class=\"card\"");
    if (frame->sport != NULL) put_attribute(out, "data-sport", frame->sport);
    put_attribute(out, "data-size", size);
    put_attribute(out, "data-pieces", pieces_words(pattern));
    put_names(out, pattern);
    put(out, ">\n");
    put_small_drawing(out, pattern);
    put(out, "<div>\n<h2><a href=\"");
    put_html(out, pattern->name);
    put(out, "/index.html\">");
    put_html(out, pattern_title(pattern));
    put(out, "</a></h2>\n<p class=\"frame\">");
    put_html(out, frame_title(frame));
    put(out, "</p>\n<p class=\"kind\">");
    if (frame->sport != NULL) put_html(out, format(out->arena, "%s, ", frame->sport));
    put_format(out, "%s, %s</p>\n", size, pieces_words(pattern));
    if (pattern->mirrored) put(out, "<p class=\"exchanged\">Sides exchanged, left for right</p>\n");
    put(out, "<dl>\n<dt>String</dt><dd>");
    put_strings(out, pattern);
    put(out, "</dd>\n<dt>Cut</dt><dd>");
    put_cut(out, pattern);
    put(out, "</dd>\n<dt>Time</dt><dd>");
    put_minutes(out, pattern);
    put(out, "</dd>\n</dl>\n</div>\n</li>\n");
}

/* ---- the page of a pattern ---- */

static void put_page_head(struct output *out, const struct pattern *pattern,
                          const struct sheet *sheet) {
    put_lines(out, document_head);
    put(out, "<title>");
    put_html(out, format(out->arena, "%s: %s", sheet->pattern, sheet->racket));
    put(out, "</title>\n" OPEN_STYLE);
    put_lines(out, catalogue_css);
    put(out, CLOSE_STYLE "</head>\n<body class=\"pattern\">\n"
                         "<a class=\"skip\" href=\"#steps\">To the steps</a>\n"
                         "<header>\n<p class=\"way\"><a id=\"back\" href=\"../index.html\">All "
                         "patterns</a></p>\n<h1>");
    put_html(out, sheet->pattern);
    put(out, "</h1>\n<p class=\"frame\">");
    put_html(out, sheet->racket);
    if (pattern->frame->sport != NULL)
        put_html(out, format(out->arena, ", %s", pattern->frame->sport));
    put_format(out, ", %s, %s</p>\n</header>\n<main>\n", pattern_size(pattern->frame, out->arena),
               pieces_words(pattern));
}

static void put_cautions(struct output *out) {
    put(out, "<ul class=\"cautions\" aria-label=\"Cautions\">\n");
    put_html_items(out, sheet_cautions);
    put(out, "</ul>\n");
}

static void put_link(struct output *out, const struct pattern *pattern, enum selvage_output output,
                     const char *words) {
    put(out, "<li><a href=\"");
    put_file(out, pattern, output);
    put_format(out, "\">%s</a></li>\n", words);
}

static void put_links(struct output *out, const struct pattern *pattern) {
    put(out, "<nav aria-label=\"Files of this pattern\">\n<ul class=\"files\">\n"
             "<li class=\"bench\"><a href=\"bench.html\">Bench page</a></li>\n");
    put_link(out, pattern, SELVAGE_STEPS_TEXT, "Step list, text");
    put_link(out, pattern, SELVAGE_STEPS_MARKDOWN, "Step list, Markdown");
    put_link(out, pattern, SELVAGE_STEPS_CSV, "Step list, CSV");
    put_link(out, pattern, SELVAGE_DRAWING, "Drawing, SVG");
    put_link(out, pattern, SELVAGE_EXPORT, "Everything derived, JSON");
    put_link(out, pattern, SELVAGE_ORDER, "Order graph, Graphviz");
    put(out, "</ul>\n</nav>\n");
}

static void put_drawing(struct output *out, const struct pattern *pattern) {
    put(out, "<figure>\n<a href=\"");
    put_file(out, pattern, SELVAGE_DRAWING);
    put(out, "\"><img width=\"210\" height=\"297\" src=\"");
    put_file(out, pattern, SELVAGE_DRAWING);
    put_char(out, '"');
    put_attribute(out, "alt", figure_description(pattern, out->arena));
    put(out, " /></a>\n</figure>\n");
}

static void put_facts(struct output *out, const struct pattern *pattern,
                      const struct sheet *sheet) {
    put(out, "<section aria-labelledby=\"facts\">\n<h2 id=\"facts\">Facts</h2>\n<dl>\n");
    put_html_fact(out, "Name", pattern->name);
    for (size_t i = 0; i < sheet->facts.count; i++)
        put_html_fact(out, sheet->facts.at[i].name, sheet->facts.at[i].text);
    for (size_t i = 0; i < sheet->notes.count; i++)
        put_html_fact(out, "Note", sheet->notes.at[i]);
    put(out, "</dl>\n</section>\n");
}

static void put_cell(struct output *out, const char *text) {
    put(out, "<td>");
    if (text != NULL) put_html(out, text);
    put(out, "</td>");
}

static void put_step(struct output *out, const struct sheet_row *row) {
    put_format(out, "<tr><th scope=\"row\">%d</th>", row->number);
    put_cell(out, row->end);
    put_cell(out, row->strand);
    put_cell(out, row->way);
    put_cell(out, row->first);
    put(out, "<td class=\"pull\">");
    if (row->nth > 0) put_format(out, "<b>%d.</b> ", row->nth);
    if (row->pulled != NULL)
        put_html(out, format(out->arena, "%s %s%s%s", row->pulled, row->force,
                             row->again ? " again" : "", row->load != NULL ? " ^" : ""));
    put(out, "</td>");
    put_cell(out, row->hold);
    put_cell(out, row->notes);
    put(out, "</tr>\n");
}

static void put_steps(struct output *out, const struct sheet *sheet) {
    put(out, "<section aria-labelledby=\"steps\">\n<h2 id=\"steps\">Steps</h2>\n"
             "<div class=\"wide\" role=\"group\" aria-labelledby=\"steps\" tabindex=\"0\">\n"
             "<table>\n<thead>\n<tr>");
    static const char *const heads[] = {
        "#", "end", "thread or weave", "from, to", "first", "pull", "then", "note"};
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
        put_format(out, "<th scope=\"col\">%s</th>", heads[i]);
    put(out, "</tr>\n</thead>\n<tbody>\n");
    for (size_t i = 0; i < sheet->rows.count; i++)
        put_step(out, &sheet->rows.at[i]);
    put(out, "</tbody>\n</table>\n</div>\n</section>\n");
}

/* What the frame feels, or why that cannot be told, where it was asked for. */
static void put_felt(struct output *out, const struct pattern *pattern) {
    if (pattern->bed == NULL && pattern->not_felt == NULL) return;
    put(out, "<section aria-labelledby=\"felt\">\n<h2 id=\"felt\">What the frame feels</h2>\n");
    if (pattern->bed != NULL)
        put_bed_picture(pattern->bed, "felt-", out);
    else
        put_format(out, "<p>Not worked out (%s).</p>\n", pattern->not_felt);
    put(out, "</section>\n");
}

/* ---- the text ---- */

/* A text of many patterns would otherwise stand on the page of every one. */
enum { WHOLE_TEXT = 64 * 1024 };

static void put_code(struct output *out, const char *bytes, size_t length) {
    char *text = arena_copy(out->arena, bytes, length);
    for (char *line = text, *end; *line != '\0'; line = end) {
        end = line + strcspn(line, "\n");
        bool more = *end == '\n';
        *end = '\0';
        put_html(out, line);
        if (more) put_char(out, '\n');
        end += more;
    }
}

static size_t line_start(const char *text, size_t at) {
    while (at > 0 && text[at - 1] != '\n')
        at--;
    return at;
}

/* Where the pattern begins with the comments right above it. */
static size_t with_comments(const char *text, size_t start) {
    start = line_start(text, start);
    while (start > 0) {
        size_t above = line_start(text, start - 1);
        if (text[above + strspn(text + above, " \t")] != '#') break;
        start = above;
    }
    return start;
}

static void put_text(struct output *out, const struct written_text *written) {
    const char *text = written->text;
    size_t start = with_comments(text, written->start), end = written->end, all = strlen(text);
    put(out, "<section aria-labelledby=\"source\">\n<h2 id=\"source\">Source</h2>\n"
             "<pre tabindex=\"0\" role=\"group\" aria-labelledby=\"source\"><code>");
    put_code(out, text + start, end - start);
    put(out, "</code></pre>\n");
    if (all <= WHOLE_TEXT) {
        put(out, "<details>\n<summary>All of ");
        put_html(out, written->name);
        put(out, "</summary>\n<pre tabindex=\"0\" role=\"group\" aria-label=\"The whole file\">"
                 "<code>");
        put_code(out, text, start);
        put(out, "<mark>");
        put_code(out, text + start, end - start);
        put(out, "</mark>");
        put_code(out, text + end, all - end);
        put(out, "</code></pre>\n</details>\n");
    } else {
        put(out, "<p>From ");
        put_html(out, written->name);
        put(out, ", which is too long to be shown here as a whole.</p>\n");
    }
    put(out, "</section>\n");
}

void emit_pattern_page(const struct pattern *pattern, const struct written_text *written,
                       struct output *out) {
    const struct sheet *sheet = sheet_of(pattern, out->arena);
    put_page_head(out, pattern, sheet);
    put_cautions(out);
    put_links(out, pattern);
    put(out, "<div class=\"sides\">\n");
    put_drawing(out, pattern);
    put_facts(out, pattern, sheet);
    put(out, "</div>\n");
    put_steps(out, sheet);
    put_felt(out, pattern);
    put_text(out, written);
    put(out, "</main>\n" OPEN_SCRIPT);
    put_lines(out, pattern_js);
    put_lines(out, document_foot);
}
