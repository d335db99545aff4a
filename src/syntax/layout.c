/* The text in the one layout: definitions, blocks, blank lines, comments. */
#include "syntax/layout.h"

#include "syntax/scan.h"
#include "syntax/statement.h"

struct layout layout_of(struct arena *arena, const struct source *source, struct output *out) {
    struct layout layout = {.arena = arena, .bytes = source->bytes, .out = out};
    layout.mark = arena_mark(arena);
    layout.text_then = out->at;
    return layout;
}

static const struct word *word_at(const struct layout *layout, size_t at) {
    return &layout->words.at[at];
}

static bool is_feed(const struct layout *layout, size_t at) {
    const struct word *word = word_at(layout, at);
    return word->kind == TOK_LINE_END && layout->bytes[word->start] == '\n';
}

void layout_take_end(struct layout *layout, int kind, size_t start, size_t end) {
    size_t count = layout->words.count;
    bool after_end = count > 0 && word_at(layout, count - 1)->kind == kind;
    bool after_feed = after_end && is_feed(layout, count - 1);
    bool after_feeds = after_feed && count > 1 && is_feed(layout, count - 2);
    if (after_feeds || (after_end && layout->bytes[start] != '\n')) return;
    layout_take(layout, kind, start, end);
}

/* ---- lines ---- */

static void begin_line(struct layout *layout, bool blank_above, size_t indent) {
    if (layout->before != BEFORE_NOTHING || layout->comment_before) put_char(layout->out, '\n');
    if (blank_above) put_char(layout->out, '\n');
    put_repeat(layout->out, ' ', indent);
    layout->feeds = 0;
}

static void comment_behind(struct layout *layout, const struct word *comment) {
    put(layout->out, "  ");
    comment_print(layout, comment);
    layout->feeds = 0;
}

/* ---- the head of a definition: its kind, its name, the rest up to "{" ---- */

static size_t find_open(const struct layout *layout, size_t from) {
    while (word_at(layout, from)->kind != TOK_OPEN)
        from++;
    return from;
}

/* The word after the head's last: "{", or what stands before it on lines of its own. */
static size_t head_end(const struct layout *layout, size_t from) {
    while (word_at(layout, from)->kind != TOK_OPEN && word_at(layout, from)->kind != TOK_LINE_END &&
           word_at(layout, from)->kind != WORD_COMMENT)
        from++;
    return from;
}

/* ---- definitions of one line ---- */

/* The word after a block's "}" where the whole stands on one line and holds no comment; 0 where it
 * does not. */
static size_t one_line_end(const struct layout *layout, size_t from) {
    for (size_t i = from;; i++) {
        int kind = word_at(layout, i)->kind;
        if (kind == WORD_COMMENT || is_feed(layout, i)) return 0;
        if (kind == TOK_CLOSE) return i + 1;
    }
}

/* The first word of the next statement of a block of one line, or its "}". */
static size_t next_statement(const struct layout *layout, size_t at) {
    while (word_at(layout, at)->kind == TOK_LINE_END)
        at++;
    return at;
}

/* Columns from "{" to "}". */
static size_t one_line_width(const struct layout *layout, size_t open) {
    size_t width = 2;
    size_t at = next_statement(layout, open + 1);
    while (word_at(layout, at)->kind != TOK_CLOSE) {
        size_t end = statement_end(layout, at);
        width += 2 + words_width(layout, at, end); /* a blank and, but for the last, a ";" */
        at = next_statement(layout, end);
    }
    return width;
}

static void one_line_block_print(struct layout *layout, size_t open) {
    put_char(layout->out, '{');
    size_t at = next_statement(layout, open + 1);
    bool empty = word_at(layout, at)->kind == TOK_CLOSE;
    for (const char *between = " "; word_at(layout, at)->kind != TOK_CLOSE; between = "; ") {
        size_t end = statement_end(layout, at);
        put(layout->out, between);
        words_print(layout, at, end);
        at = next_statement(layout, end);
    }
    put(layout->out, empty ? "}" : " }");
}

/* A definition of one line and how wide its parts are. */
struct one_line {
    size_t end; /* the word after it; 0: it is none, or does not fit on a line */
    size_t open, name, rest, block;
};

static struct one_line one_line_at(const struct layout *layout, size_t from) {
    struct one_line line = {0};
    if (word_at(layout, from)->kind == TOK_USE) return line;
    size_t end = one_line_end(layout, from);
    if (end == 0) return line;
    line.open = find_open(layout, from);
    line.name = words_width(layout, from + 1, from + 2);
    if (line.open > from + 2) line.rest = words_width(layout, from + 2, line.open);
    line.block = one_line_width(layout, line.open);
    size_t width = words_width(layout, from, line.open) + 1 + line.block;
    if (width <= LAYOUT_COLUMNS) line.end = end;
    return line;
}

static size_t larger(size_t a, size_t b) { return a > b ? a : b; }

/* Measures the row of definitions of one line that begins here: they stand together while no blank
 * line and no comment of its own line parts them. Where one would grow too long, none is aligned.
 */
static struct layout_run run_from(const struct layout *layout, size_t from) {
    struct layout_run run = {.end = from};
    size_t block = 0, feeds = 0;
    for (size_t at = from; at < layout->words.count && feeds < 2;) {
        int kind = word_at(layout, at)->kind;
        if (kind == TOK_LINE_END) {
            feeds += is_feed(layout, at++);
            continue;
        }
        if (kind == WORD_COMMENT && feeds == 0) {
            at++;
            continue;
        }
        if (kind == WORD_COMMENT) break;
        struct one_line line = one_line_at(layout, at);
        if (line.end == 0) break;
        run.kind = larger(run.kind, words_width(layout, at, at + 1));
        run.name = larger(run.name, line.name);
        run.rest = larger(run.rest, line.rest);
        block = larger(block, line.block);
        run.end = at = line.end;
        feeds = 0;
    }
    size_t rest = run.rest > 0 ? run.rest + 1 : 0;
    if (run.kind + 1 + run.name + 1 + rest + block > LAYOUT_COLUMNS)
        run.kind = run.name = run.rest = 0;
    return run;
}

static void part_print(struct layout *layout, size_t from, size_t end, size_t width) {
    size_t own = end > from ? words_width(layout, from, end) : 0;
    if (own == 0 && width == 0) return;
    if (own > 0) words_print(layout, from, end);
    put_repeat(layout->out, ' ', larger(own, width) - own + 1);
}

static void one_line_print(struct layout *layout, size_t from, size_t open) {
    part_print(layout, from, from + 1, layout->run.kind);
    part_print(layout, from + 1, from + 2, layout->run.name);
    part_print(layout, from + 2, open, layout->run.rest);
    one_line_block_print(layout, open);
}

/* ---- blocks ---- */

/* How far second parts stand from the longest head: frames have long ones. */
static size_t gap_in(int definition) { return definition == TOK_FRAME ? 2 : 1; }

/* The columns of the paragraph that begins here: it ends at a blank line, at a comment on a line of
 * its own, and at the block's end. */
static struct columns paragraph_columns(const struct layout *layout, size_t from, size_t gap) {
    struct columns columns = {0};
    size_t feeds = 0;
    for (size_t at = from; feeds < 2;) {
        int kind = word_at(layout, at)->kind;
        if (kind == TOK_CLOSE || (kind == WORD_COMMENT && feeds > 0)) break;
        if (kind == TOK_LINE_END || kind == WORD_COMMENT) {
            feeds += is_feed(layout, at++);
            continue;
        }
        statement_measure(layout, at, gap, &columns);
        at = statement_end(layout, at);
        feeds = 0;
    }
    return columns;
}

/* Prints what stands between "{" and "}"; the place of the "}". */
static size_t block_print(struct layout *layout, size_t at, size_t gap) {
    struct columns columns = {0};
    bool first = true, paragraph = true;
    for (;;) {
        const struct word *word = word_at(layout, at);
        if (word->kind == TOK_CLOSE) return at;
        bool blank = layout->feeds > 1 && !first;
        if (word->kind == TOK_LINE_END) {
            layout->feeds += is_feed(layout, at++);
        } else if (word->kind == WORD_COMMENT && layout->feeds == 0) {
            comment_behind(layout, word);
            at++;
        } else if (word->kind == WORD_COMMENT) {
            begin_line(layout, blank, LAYOUT_INDENT);
            comment_print(layout, word);
            at++;
            first = false;
            paragraph = true;
        } else {
            if (paragraph || blank) columns = paragraph_columns(layout, at, gap);
            size_t end = statement_end(layout, at);
            begin_line(layout, blank, LAYOUT_INDENT);
            statement_print(layout, at, end, columns);
            at = end;
            first = paragraph = false;
        }
    }
}

/* Comments between the head and "{" go behind it; the place of the "{". */
static size_t comments_before_open(struct layout *layout, size_t at) {
    bool any = false;
    for (; word_at(layout, at)->kind != TOK_OPEN; at++) {
        const struct word *word = word_at(layout, at);
        if (word->kind == TOK_LINE_END) {
            layout->feeds += is_feed(layout, at);
            continue;
        }
        if (layout->feeds > 0) {
            begin_line(layout, false, LAYOUT_INDENT);
            comment_print(layout, word);
        } else {
            comment_behind(layout, word);
        }
        any = true;
    }
    layout->feeds = any ? 1 : 0; /* one behind "{" joins no other on its line */
    return at;
}

/* ---- definitions ---- */

/* The word after it. */
static size_t use_print(struct layout *layout, size_t at) {
    words_print(layout, at, at + 2);
    return at + 2;
}

static size_t definition_print(struct layout *layout, size_t at) {
    size_t gap = gap_in(word_at(layout, at)->kind), end = head_end(layout, at);
    words_print(layout, at, end);
    put(layout->out, " {");
    size_t open = comments_before_open(layout, end);
    at = block_print(layout, open + 1, gap);
    begin_line(layout, false, 0);
    put_char(layout->out, '}');
    return at + 1;
}

/* How the definition at a place will stand once it is printed. */
static enum layout_before shape_of(const struct layout *layout, size_t at) {
    if (word_at(layout, at)->kind == TOK_USE) return BEFORE_USE;
    return one_line_at(layout, at).end > 0 ? BEFORE_ONE_LINE : BEFORE_BLOCK;
}

/* Whether a blank line is due between what was printed last and a definition. */
static bool blank_due(const struct layout *layout, enum layout_before shape) {
    if (layout->before == BEFORE_NOTHING) return false;
    if (layout->before != shape || shape == BEFORE_BLOCK) return true;
    return shape == BEFORE_ONE_LINE && layout->feeds > 1;
}

static bool blank_above_definition(const struct layout *layout, enum layout_before shape) {
    return layout->comment_before ? layout->feeds > 1 : blank_due(layout, shape);
}

/* A comment belongs to what follows it: where a blank line is due between two definitions it stands
 * above the first comment between them. */
static bool blank_above_comment(const struct layout *layout, size_t at) {
    if (layout->feeds > 1) return layout->before != BEFORE_NOTHING || layout->comment_before;
    if (layout->comment_before) return false;
    for (; at < layout->words.count; at++) {
        int kind = word_at(layout, at)->kind;
        if (kind != TOK_LINE_END && kind != WORD_COMMENT)
            return blank_due(layout, shape_of(layout, at));
    }
    return false;
}

static size_t top_definition(struct layout *layout, size_t at) {
    if (at >= layout->run.end) layout->run = run_from(layout, at);
    bool one_line = at < layout->run.end;
    enum layout_before shape = word_at(layout, at)->kind == TOK_USE ? BEFORE_USE
                               : one_line                           ? BEFORE_ONE_LINE
                                                                    : BEFORE_BLOCK;
    begin_line(layout, blank_above_definition(layout, shape), 0);
    layout->before = shape;
    layout->comment_before = false;
    if (shape == BEFORE_USE) return use_print(layout, at);
    if (shape == BEFORE_BLOCK) return definition_print(layout, at);
    one_line_print(layout, at, find_open(layout, at));
    return one_line_end(layout, at);
}

static size_t top_comment(struct layout *layout, size_t at) {
    bool nothing = layout->before == BEFORE_NOTHING && !layout->comment_before;
    if (layout->feeds == 0 && !nothing) {
        comment_behind(layout, word_at(layout, at));
        return at + 1;
    }
    begin_line(layout, blank_above_comment(layout, at), 0);
    comment_print(layout, word_at(layout, at));
    layout->comment_before = true;
    return at + 1;
}

void layout_print(struct layout *layout) {
    layout->run.end = 0;
    for (size_t at = 0; at < layout->words.count;) {
        switch (word_at(layout, at)->kind) {
        case TOK_LINE_END: layout->feeds += is_feed(layout, at++); break;
        case WORD_COMMENT: at = top_comment(layout, at); break;
        default: at = top_definition(layout, at);
        }
    }
    layout->words.count = 0;
}

void layout_close(struct layout *layout) {
    if (layout->before != BEFORE_NOTHING || layout->comment_before) put_char(layout->out, '\n');
}

/* ---- while the text is read ---- */

bool layout_due(const struct layout *layout) {
    for (size_t i = layout->words.count; i-- > 0;) {
        if (is_feed(layout, i) || word_at(layout, i)->kind == WORD_COMMENT) return true;
        if (word_at(layout, i)->kind == TOK_OPEN) return false;
    }
    return false;
}

bool layout_forget(struct layout *layout) {
    bool kept = layout->words.at == layout->words_then && layout->out->at == layout->text_then;
    if (kept) arena_rewind(layout->arena, layout->mark);
    layout->mark = arena_mark(layout->arena);
    layout->words_then = layout->words.at;
    layout->text_then = layout->out->at;
    return kept;
}
