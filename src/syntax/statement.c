/* One statement: head, second part in its column, breaks after commas. */
#include "syntax/statement.h"

#include "ground/utf8.h"
#include "syntax/scan.h"

/* ---- words in a row ---- */

/* Whether a word stands close to the one before it. The word after it is there to be seen: no
 * statement ends a text. */
static inline bool is_close(const struct word *word) {
    if (word->kind == TOK_COMMA || word->kind == TOK_TO) return true;
    if (word->kind == TOK_PLUS) return word[1].kind == TOK_STRAND; /* M9+C2, but M4 +2 % */
    switch (word[-1].kind) {
    case TOK_TO: return true;
    case TOK_PLUS: return true;
    case TOK_MINUS: return word->kind == TOK_NUMBER; /* -2 %; else it is an unused hole */
    default: return false;
    }
}

static size_t word_width(const struct layout *layout, const struct word *word) {
    const char *at = layout->bytes + word->start, *end = layout->bytes + word->end;
    if (word->kind != TOK_TITLE) return (size_t)(end - at);
    size_t width = 0, length;
    for (; at < end; at += length)
        width += (size_t)utf8_columns(utf8_decode(at, (size_t)(end - at), &length));
    return width;
}

size_t words_width(const struct layout *layout, size_t from, size_t end) {
    size_t width = 0;
    for (size_t i = from; i < end; i++) {
        const struct word *word = &layout->words.at[i];
        width += word_width(layout, word) + (i > from && !is_close(word));
    }
    return width;
}

/* What already stands as it should is copied in one piece. */
void words_print(struct layout *layout, size_t from, size_t end) {
    const struct word *words = layout->words.at;
    const char *bytes = layout->bytes;
    uint32_t piece = words[from].start;
    for (size_t i = from + 1; i < end; i++) {
        uint32_t space = is_close(&words[i]) ? 0 : 1, gap = words[i].start - words[i - 1].end;
        if (gap == space && (space == 0 || bytes[words[i - 1].end] == ' ')) continue;
        put_bytes(layout->out, bytes + piece, words[i - 1].end - piece);
        if (space > 0) put_char(layout->out, ' ');
        piece = words[i].start;
    }
    put_bytes(layout->out, bytes + piece, words[end - 1].end - piece);
}

void comment_print(struct layout *layout, const struct word *comment) {
    const char *bytes = layout->bytes;
    size_t end = comment->end;
    while (bytes[end - 1] == ' ' || bytes[end - 1] == '\t' || bytes[end - 1] == '\r')
        end--;
    put_bytes(layout->out, bytes + comment->start, end - comment->start);
}

/* ---- the head ---- */

enum head_kind { HEAD_PLAIN, HEAD_SLOTS, HEAD_LOOSE };

struct head {
    enum head_kind kind; /* HEAD_LOOSE: what follows stands in no column */
    size_t words;
};

static struct head head_of(const struct word *first) {
    switch (first->kind) {
    case TOK_HOLES: {
        bool side = first[1].kind == TOK_LEFT || first[1].kind == TOK_RIGHT;
        return (struct head){HEAD_SLOTS, side ? 3 : 2};
    }
    case TOK_ONE:
    case TOK_TWO:
    case TOK_PRE_STRETCH:
    case TOK_AROUND:
    case TOK_LOOPS:
    case TOK_FIXED:
    case TOK_STARTING:
    case TOK_FINISH:
    case TOK_FIND: return (struct head){HEAD_LOOSE, 1};
    case TOK_SHORT: return (struct head){first[1].kind == TOK_SIDE ? HEAD_LOOSE : HEAD_PLAIN, 1};
    default: return (struct head){HEAD_PLAIN, 1};
    }
}

void statement_measure(const struct layout *layout, size_t from, size_t gap,
                       struct columns *columns) {
    struct head head = head_of(&layout->words.at[from]);
    if (head.kind == HEAD_LOOSE) return;
    size_t *column = head.kind == HEAD_SLOTS ? &columns->slots : &columns->plain;
    size_t wanted = words_width(layout, from, from + head.words) + gap;
    if (wanted > *column) *column = wanted;
}

size_t statement_end(const struct layout *layout, size_t from) {
    bool after_comma = false;
    for (size_t i = from;; i++) {
        const struct word *word = &layout->words.at[i];
        switch (word->kind) {
        case TOK_CLOSE: return i;
        case TOK_COMMA: after_comma = true; continue;
        case TOK_LINE_END:
        case WORD_COMMENT:
            if (!after_comma) return i;
            continue;
        default: after_comma = false;
        }
    }
}

/* ---- the second part, part by part ---- */

/* A statement being printed over several lines. */
struct broken {
    struct layout *layout;
    size_t end;   /* of the statement */
    bool slots;   /* a break may stand after every slot, and gets a comma */
    size_t inner; /* where a new line begins */
    size_t at;    /* the column reached */
    bool fresh;   /* nothing stands on this line yet */
};

static void new_line(struct broken *b) {
    put_char(b->layout->out, '\n');
    put_repeat(b->layout->out, ' ', b->inner);
    b->at = b->inner;
    b->fresh = true;
}

/* Whether a slot of a list of holes begins here: a side belongs to the strand behind it. */
static bool begins_slot(const struct word *word) {
    return !is_close(word) && word[-1].kind != TOK_LEFT && word[-1].kind != TOK_RIGHT;
}

/* The word after a part: after its comma; in a list of slots after the slot and its comma. */
static size_t part_end(const struct broken *b, size_t from) {
    const struct word *words = b->layout->words.at;
    for (size_t i = from; i < b->end; i++) {
        if (words[i].kind == TOK_COMMA) return i + 1;
        if (b->slots && i > from && begins_slot(&words[i])) return i;
    }
    return b->end;
}

/* Prints comments that stand after a comma, each at the end of its line; the word after them. */
static size_t comments_inside(struct broken *b, size_t from) {
    const struct word *words = b->layout->words.at;
    bool fed = false;
    for (; from < b->end; from++) {
        if (words[from].kind == TOK_LINE_END) {
            fed = true;
        } else if (words[from].kind == WORD_COMMENT) {
            if (!fed) put(b->layout->out, "  ");
            if (fed && !b->fresh) new_line(b);
            comment_print(b->layout, &words[from]);
            new_line(b);
        } else {
            break;
        }
    }
    return from;
}

static void part_print(struct broken *b, size_t from, size_t end) {
    const struct word *words = b->layout->words.at;
    bool comma = words[end - 1].kind == TOK_COMMA;
    size_t width = words_width(b->layout, from, end);
    /* Room for the comma that a break after this slot would take. */
    size_t room = width + (b->slots && !comma && end < b->end);
    if (!b->fresh && b->at + 1 + room > LAYOUT_COLUMNS) {
        if (words[from - 1].kind != TOK_COMMA && words[from - 1].kind != TOK_LINE_END)
            put_char(b->layout->out, ',');
        new_line(b);
    }
    if (!b->fresh) {
        put_char(b->layout->out, ' ');
        b->at++;
    }
    words_print(b->layout, from, end);
    b->at += width;
    b->fresh = false;
}

static void print_broken(struct broken *b, size_t from) {
    for (size_t at = from; at < b->end;) {
        size_t end = part_end(b, at);
        part_print(b, at, end);
        at = comments_inside(b, end);
    }
}

/* Whether words stand between two places and nothing else does. */
static bool only_words(const struct layout *layout, size_t from, size_t end) {
    for (size_t i = from; i < end; i++)
        if (layout->words.at[i].kind == TOK_LINE_END || layout->words.at[i].kind == WORD_COMMENT)
            return false;
    return true;
}

void statement_print(struct layout *layout, size_t from, size_t end, struct columns columns) {
    struct head head = head_of(&layout->words.at[from]);
    size_t second = from + head.words, width = words_width(layout, from, second);
    size_t column = head.kind == HEAD_LOOSE   ? width + 1
                    : head.kind == HEAD_SLOTS ? columns.slots
                                              : columns.plain;
    words_print(layout, from, second);
    put_repeat(layout->out, ' ', column - width);
    column += LAYOUT_INDENT;
    if (only_words(layout, second, end) &&
        column + words_width(layout, second, end) <= LAYOUT_COLUMNS) {
        words_print(layout, second, end);
        return;
    }
    size_t inner = head.kind == HEAD_LOOSE ? (size_t)(2 * LAYOUT_INDENT) : column;
    struct broken broken = {layout, end, head.kind == HEAD_SLOTS, inner, column, true};
    print_broken(&broken, second);
}
