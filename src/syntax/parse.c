/* The driver between scanner and push parser. It settles where a line ends: after a comma it goes
 * on, before "{" it does too; and it closes a block that the text forgot to close. */
#include "syntax/parse.h"

#include "ground/limits.h"
#include "syntax/scan.h"

#include <stdlib.h>
#include <string.h>

struct parser {
    selvage_yypstate *state;
    size_t words, definitions; /* of all texts so far */
};

struct parser *parser_new(void) {
    struct parser *parser = malloc(sizeof *parser);
    if (parser == NULL) return NULL;
    *parser = (struct parser){.state = selvage_yypstate_new()};
    if (parser->state == NULL) {
        free(parser);
        return NULL;
    }
    return parser;
}

void parser_free(struct parser *parser) {
    if (parser == NULL) return;
    selvage_yypstate_delete(parser->state);
    free(parser);
}

void parser_forget(struct parser *parser) { parser->words = parser->definitions = 0; }

typedef void *yyscan_t;
int scanner_lex_init_extra(struct syntax *syntax, yyscan_t *scanner);
struct yy_buffer_state *scanner__scan_buffer(char *base, size_t size, yyscan_t scanner);
int scanner_lex(union syntax_value *value, struct span *span, yyscan_t scanner);

struct token {
    int kind;
    union syntax_value value;
    struct span span;
    bool passed_over; /* a word of a line that is known to be bad: it has no value */
};

/* Two tokens are looked ahead at the most; a power of two makes the ring cheap. */
enum { END_OF_TEXT = 0, LOOK_AHEAD = 4 };

/* Tokens with a short look ahead. */
struct tokens {
    struct syntax *syntax;
    yyscan_t scanner;
    struct token ring[LOOK_AHEAD];
    size_t first, count;
    size_t words; /* scanned so far, without line feeds */
    size_t told;  /* findings there were before */
};

static bool is_line_feed(const struct syntax *syntax, const struct token *token) {
    return token->kind == TOK_LINE_END &&
           syntax->source->bytes[token->span.start - syntax->source->base] == '\n';
}

static bool is_mark(int kind) {
    return kind == TOK_LINE_END || kind == TOK_OPEN || kind == TOK_CLOSE || kind == END_OF_TEXT;
}

/* A word, and whether a statement or a definition begins with it. */
static void take_word(struct tokens *tokens, const struct token *token) {
    struct progress *p = &tokens->syntax->scanned;
    int kind = token->kind;
    bool begins = kind == TOK_FRAME || kind == TOK_PATTERN || kind == TOK_USE;
    if (p->ended && begins) p->depth = 0; /* a brace was forgotten */
    if (p->ended || p->last == 0) {
        p->statement = token->span.start;
        if (p->depth == 0) p->definition = token->span.start;
    }
    p->ended = false;
    p->behind = true;
    p->last = kind;
    tokens->words++;
}

/* The end of a line, a brace, or the end of the text. */
static void take_mark(struct tokens *tokens, struct token *token) {
    struct syntax *syntax = tokens->syntax;
    struct progress *p = &syntax->scanned;
    if (token->kind == END_OF_TEXT) {
        uint32_t end = syntax->source->base + (uint32_t)syntax->source->length;
        token->span = (struct span){end, end};
    }
    if (token->kind == TOK_LINE_END) syntax->bad_line = false;
    p->behind = !is_line_feed(syntax, token);
    if (!p->behind) {
        p->ended |= p->last != TOK_COMMA;
        return;
    }
    if (token->kind == TOK_OPEN) p->depth++;
    if (token->kind == TOK_CLOSE && p->depth > 0) p->depth--;
    p->ended = true;
    p->last = token->kind;
    tokens->words++;
}

/* Words of a line that is known to be bad are scanned in silence, so that a line is told once. */
static void scan_one(struct tokens *tokens, struct token *token) {
    struct syntax *syntax = tokens->syntax;
    bool bad = syntax->bad_line;
    syntax->report->muted = bad;
    token->kind = scanner_lex(&token->value, &token->span, tokens->scanner);
    syntax->report->muted = false;
    bool wanted = syntax->layout != NULL && syntax->report->counts[SEVERITY_ERROR] == 0;
    if (wanted && token->kind != END_OF_TEXT) scan_to_layout(syntax, token->kind, token->span);
    bool mark = is_mark(token->kind);
    token->passed_over = bad && !mark;
    if (mark)
        take_mark(tokens, token);
    else
        take_word(tokens, token);
    if (token->kind == TOK_SELVAGE_YYerror) syntax->bad_line = true;
}

static struct token *look(struct tokens *tokens, size_t ahead) {
    while (tokens->count <= ahead) {
        scan_one(tokens, &tokens->ring[(tokens->first + tokens->count) % LOOK_AHEAD]);
        tokens->count++;
    }
    return &tokens->ring[(tokens->first + ahead) % LOOK_AHEAD];
}

static void drop(struct tokens *tokens) {
    tokens->first = (tokens->first + 1) % LOOK_AHEAD;
    tokens->count--;
}

/* Whether a definition begins here: its first word and what must follow it. Only frame, pattern and
 * use can be told apart from a block's own lines by their first word. */
static bool begins_definition(struct tokens *tokens) {
    int first = look(tokens, 0)->kind;
    if (first == TOK_FRAME || first == TOK_PATTERN || first == TOK_USE) return true;
    if (first != TOK_STRING && first != TOK_BENCH) return false;
    int third = look(tokens, 2)->kind;
    return third == TOK_OPEN || third == TOK_TITLE;
}

/* False when the parser will take no more. */
static bool push(struct parser *parser, struct syntax *syntax, struct token *token) {
    if (!span_given(syntax->previous)) syntax->first = token->span;
    int status =
        selvage_yypush_parse(parser->state, token->kind, &token->value, &token->span, syntax);
    bool ends_line =
        token->kind == TOK_LINE_END || token->kind == TOK_OPEN || token->kind == TOK_CLOSE;
    syntax->previous = ends_line ? (struct span){0} : token->span;
    return status == YYPUSH_MORE;
}

static bool close_block(struct parser *parser, struct syntax *syntax, struct span opened,
                        struct span here, bool cut_off) {
    struct finding *finding = report_add(syntax->report, RULE_block_open, here,
                                         "the block above is not closed: } is due");
    finding_note(syntax->report, finding, opened, "it was opened here");
    finding_help(syntax->report, finding, "put } on a line of its own after the block's last line");
    struct span nothing = {here.start, here.start};
    struct token line_end = {.kind = TOK_LINE_END, .span = nothing};
    struct token bad = {.kind = TOK_SELVAGE_YYerror, .span = nothing};
    struct token close = {.kind = TOK_CLOSE, .span = nothing};
    if (!push(parser, syntax, &line_end)) return false;
    /* what is missing may have stood in what is cut off */
    if (cut_off && !(push(parser, syntax, &bad) && push(parser, syntax, &line_end))) return false;
    return push(parser, syntax, &close);
}

/* What a definition's head still lacks where its line ends; NULL where it is whole. */
static const char *head_lacks(const struct syntax *syntax, struct span head) {
    if (!span_given(syntax->previous)) return NULL; /* told already: a brace stood in it */
    const char *at = syntax->source->bytes + (head.start - syntax->source->base),
               *end = syntax->source->bytes + (syntax->previous.end - syntax->source->base);
    int words = 0;
    bool in_title = false, in_word = false;
    for (; at < end; at++) {
        bool blank = *at == ' ' || *at == '\t';
        if (*at == '"') in_title = !in_title;
        bool word = !in_title && !blank && *at != '"';
        words += word && !in_word;
        in_word = word;
    }
    if (words == 1) return "a name";
    if (syntax->block != BLOCK_PATTERN || words > 3) return NULL;
    return words == 2 ? "for and the name of a frame" : "the name of a frame";
}

/* Whether the next line begins with the name that is due and ends with it. */
static bool name_follows(struct tokens *tokens) {
    int name = look(tokens, 1)->kind, after = look(tokens, 2)->kind;
    return name == TOK_NAME && (after == TOK_OPEN || after == TOK_LINE_END);
}

static void tell_half_head(struct syntax *syntax, const char *lacks) {
    const char *bytes = syntax->source->bytes + (syntax->previous.start - syntax->source->base);
    report_add(syntax->report, RULE_syntax, syntax->previous,
               "the line ends here; after `%.*s` comes %s",
               (int)(syntax->previous.end - syntax->previous.start), bytes, lacks);
}

/* A definition whose line ends without a brace: it goes on as if there were one. */
static bool open_block(struct parser *parser, struct syntax *syntax, struct span head,
                       struct span here) {
    const char *lacks = syntax->bad_line ? NULL : head_lacks(syntax, head);
    if (lacks != NULL) {
        tell_half_head(syntax, lacks);
    } else if (!syntax->bad_line) {
        struct finding *finding = report_add(syntax->report, RULE_syntax, head,
                                             "no block follows this line: { is due at its end");
        finding_help(syntax->report, finding, "put { at the end of this line");
        struct span end = {syntax->previous.end, syntax->previous.end};
        finding_fix(syntax->report, finding, true, end, "%s", " {");
    }
    struct token open = {.kind = TOK_OPEN, .span = {here.start, here.start}};
    syntax->report->muted = lacks != NULL;
    bool more = push(parser, syntax, &open);
    syntax->report->muted = false;
    return more;
}

/* What of a text is far beyond any racket; NULL where nothing is. */
static const char *beyond_limits(const struct parser *parser, const struct syntax *syntax,
                                 const struct tokens *tokens, size_t block, size_t depth) {
    struct arena *arena = syntax->arena;
    if (depth > LIMIT_BRACES)
        return format(arena, "more than %d braces stand inside one another", LIMIT_BRACES);
    if (block > LIMIT_BLOCK_TOKENS)
        return format(arena,
                      "this block holds more than %d words: no frame or pattern needs so many",
                      LIMIT_BLOCK_TOKENS);
    /* a text that is only laid out may be longer, as long as nothing is wrong with it */
    bool counted = syntax->layout == NULL || syntax->report->blocking > 0;
    if (counted && parser->words + tokens->words + syntax->comments > LIMIT_WORDS)
        return format(arena, "this text, with all it uses, holds more than %d words and comments",
                      LIMIT_WORDS);
    if (counted && parser->definitions + syntax->definitions > LIMIT_DEFINITIONS)
        return format(arena, "this text, with all it uses, holds more than %d definitions",
                      LIMIT_DEFINITIONS);
    if (syntax->layout != NULL && syntax->layout->words.count > LIMIT_ROW_WORDS)
        return format(arena, "more than %d words stand in definitions of one line in a row",
                      LIMIT_ROW_WORDS);
    if (syntax->report->findings.count + 1 >= LIMIT_FINDINGS)
        return format(arena, "this text has more than %d findings", LIMIT_FINDINGS - 1);
    return NULL;
}

/* What follows in this text is not read. */
static void give_up(struct parser *parser, struct syntax *syntax, struct span here, size_t depth,
                    const char *why) {
    report_add(syntax->report, RULE_too_many, here, "%s; the rest of the text is not read", why);
    syntax->tree->damaged = syntax->tree->given_up = true;
    syntax->report->muted = true;
    struct span nothing = {here.start, here.start};
    struct token bad = {.kind = TOK_SELVAGE_YYerror, .span = nothing},
                 line_end = {.kind = TOK_LINE_END, .span = nothing},
                 close = {.kind = TOK_CLOSE, .span = nothing},
                 end = {.kind = END_OF_TEXT, .span = nothing};
    bool more = push(parser, syntax, &bad) && push(parser, syntax, &line_end);
    for (; more && depth > 0; depth--)
        more = push(parser, syntax, &close);
    if (more) push(parser, syntax, &end);
    syntax->report->muted = false;
}

/* Lays out what has been read where nothing beyond a definition has been looked at yet. No tree is
 * kept meanwhile; a finding would be lost with it. */
static void lay_out_definition(struct syntax *syntax, const struct tokens *tokens) {
    struct layout *layout = syntax->layout;
    if (tokens->count > 0 || syntax->report->findings.count > tokens->told) return;
    if (layout_due(layout)) layout_print(layout);
    syntax->tree->definitions = syntax->last = NULL;
    layout_forget(layout);
}

/* Most tokens stand in the middle of a line of a block, where nothing is to be settled: they go
 * straight on, up to the next that asks for more. False when the parser will take no more. */
static bool push_line(struct parser *parser, struct syntax *syntax, struct tokens *tokens,
                      size_t *count, bool *after_comma) {
    struct token *token = &tokens->ring[tokens->first];
    while (tokens->count == 0) {
        scan_one(tokens, token);
        bool beyond = beyond_limits(parser, syntax, tokens, *count + 1, 1) != NULL;
        if (is_mark(token->kind) || beyond) {
            tokens->count = 1;
            return true;
        }
        ++*count;
        *after_comma = token->kind == TOK_COMMA;
        if (token->passed_over)
            syntax->previous = token->span;
        else if (!push(parser, syntax, token))
            return false;
    }
    return true;
}

static struct span begin_head(struct syntax *syntax, const struct token *token) {
    syntax->block = token->kind == TOK_FRAME     ? BLOCK_FRAME
                    : token->kind == TOK_PATTERN ? BLOCK_PATTERN
                                                 : BLOCK_OTHER;
    return token->span;
}

static void run(struct parser *parser, struct syntax *syntax, struct tokens *tokens) {
    struct span opened = {0}, head = {0};
    size_t depth = 0, count = 0;
    bool line_start = true, after_comma = false;
    for (;;) {
        if (depth > 0 && !line_start && !push_line(parser, syntax, tokens, &count, &after_comma))
            return;
        struct token *token = look(tokens, 0);
        const char *why = beyond_limits(parser, syntax, tokens, count, depth);
        if (why != NULL) {
            give_up(parser, syntax, token->span, depth, why);
            return;
        }
        if (depth == 0 && line_start && begins_definition(tokens) && token->kind != TOK_USE)
            head = begin_head(syntax, token);
        if (is_line_feed(syntax, token)) {
            bool goes_on = after_comma || look(tokens, 1)->kind == TOK_OPEN;
            bool last = look(tokens, 1)->kind != TOK_LINE_END;
            const char *lacks = goes_on || !span_given(head) ? NULL : head_lacks(syntax, head);
            if (lacks != NULL && !syntax->bad_line && name_follows(tokens)) {
                tell_half_head(syntax, lacks);
                goes_on = true;
            }
            if (!goes_on && last && span_given(head)) {
                if (!open_block(parser, syntax, head, token->span)) return;
                opened = head;
                head = (struct span){0};
                depth++;
            }
            line_start = line_start || !goes_on;
            if (goes_on || !last) {
                drop(tokens);
                continue;
            }
            token = look(tokens, 0);
        }
        bool unclosed = depth > 0 && (token->kind == END_OF_TEXT ||
                                      (line_start && !after_comma && begins_definition(tokens)));
        bool cut_off = token->kind == END_OF_TEXT;
        if (unclosed && !close_block(parser, syntax, opened, token->span, cut_off)) return;
        if (unclosed) depth = 0;
        token = look(tokens, 0);
        count = depth > 0 ? count + 1 : 0;
        if (token->kind == TOK_OPEN) {
            if (depth == 0) opened = token->span;
            head = (struct span){0};
            depth++;
        } else if (token->kind == TOK_CLOSE && depth > 0) {
            depth--;
        }
        line_start = token->kind == TOK_LINE_END || token->kind == TOK_OPEN;
        after_comma = token->kind == TOK_COMMA;
        bool ended = token->kind == TOK_CLOSE && depth == 0;
        if (token->passed_over)
            syntax->previous = token->span;
        else if (!push(parser, syntax, token))
            return;
        drop(tokens);
        if (ended && syntax->layout != NULL) lay_out_definition(syntax, tokens);
    }
}

static struct tokens read(struct parser *parser, struct syntax *syntax) {
    struct tokens tokens = {.syntax = syntax, .told = syntax->report->findings.count};
    if (scanner_lex_init_extra(syntax, &tokens.scanner) != 0) arena_escape(syntax->arena);
    scanner__scan_buffer(syntax->source->bytes + syntax->source->begins,
                         syntax->source->length - syntax->source->begins + 2, tokens.scanner);
    run(parser, syntax, &tokens);
    return tokens;
}

struct tree *parse(struct parser *parser, struct arena *arena, struct report *report,
                   struct source *source) {
    struct tree *tree = arena_one(arena, struct tree);
    tree->source = source;
    struct syntax syntax = {.arena = arena, .report = report, .source = source, .tree = tree};
    struct tokens tokens = read(parser, &syntax);
    parser->words += tokens.words + syntax.comments;
    parser->definitions += syntax.definitions;
    return tree;
}

bool lay_out(struct parser *parser, struct arena *arena, struct report *report,
             struct source *source, struct output *out) {
    struct tree tree = {.source = source};
    struct syntax syntax = {.arena = arena, .report = report, .source = source, .tree = &tree};
    struct layout layout = layout_of(arena, source, out);
    syntax.layout = &layout;
    read(parser, &syntax);
    if (report->blocking > 0) return false;
    layout_print(&layout);
    layout_close(&layout);
    return true;
}
