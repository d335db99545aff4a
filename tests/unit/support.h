/* What every unit test needs: cmocka, and a text compiled with everything in reach. */
#ifndef SELVAGE_TESTS_SUPPORT_H
#define SELVAGE_TESTS_SUPPORT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "compile.h"
#include "ground/limits.h"

/* A compilation with its model open to the test. */
struct bench_top {
    struct compilation c;
    struct parser *parser;
    jmp_buf escape;
};

static inline void no_escape(void) { fail_msg("memory ran out"); }

#define OPEN_ARENA(arena)                                                                          \
    struct arena *arena = arena_new(NULL, LIMIT_MEMORY);                                           \
    jmp_buf arena##_escape;                                                                        \
    if (setjmp(arena##_escape) != 0) no_escape();                                                  \
    arena_set_escape(arena, &arena##_escape)

/* Compiles a text; free with put_away. */
static inline struct bench_top *compile_text(const char *text) {
    struct arena *arena = arena_new(NULL, LIMIT_MEMORY);
    struct bench_top *top = arena_try(arena, sizeof *top);
    top->parser = parser_new();
    arena_set_escape(arena, &top->escape);
    top->c.arena = arena;
    top->c.sources = source_map_in(arena);
    top->c.report = report_in(arena, &top->c.sources);
    if (setjmp(top->escape) != 0) no_escape();
    top->c.library = library_in(arena, &top->c.report);
    static const struct selvage_setting settings[] = {
        {"SV-315", SELVAGE_ADVICE}, {"SV-316", SELVAGE_ADVICE}, {"SV-515", SELVAGE_ADVICE}};
    struct selvage_request request = {.name = "test",
                                      .text = {text, strlen(text)},
                                      .settings = settings,
                                      .setting_count = sizeof settings / sizeof *settings};
    compile(&top->c, &request, top->parser);
    return top;
}

static inline void put_away(struct bench_top *top) {
    parser_free(top->parser);
    arena_free(top->c.arena);
}

static inline const struct pattern *first_pattern(const struct bench_top *top) {
    assert_true(top->c.patterns.count > 0);
    return top->c.patterns.at[0].pattern;
}

/* How often a code was found. */
static inline int found(const struct bench_top *top, enum rule rule) {
    int count = 0;
    for (size_t i = 0; i < top->c.report.findings.count; i++)
        count += top->c.report.findings.at[i]->rule == rule;
    return count;
}

/* A text without errors and warnings but for long loops and odd leads, which short tests cannot
 * always spare; what is wrong is printed where it is not. */
static inline struct bench_top *compile_clean(const char *text) {
    struct bench_top *top = compile_text(text);
    for (size_t i = 0; i < top->c.report.findings.count; i++)
        print_message("%s\n", top->c.report.findings.at[i]->message);
    assert_int_equal(top->c.report.counts[SEVERITY_ERROR], 0);
    assert_int_equal(top->c.report.counts[SEVERITY_WARNING], 0);
    return top;
}

/* A small frame of six mains and four crosses, and patterns on it. */
#define SMALL_FRAME                                                                                \
    "frame small {\n"                                                                              \
    "  sport squash; inside 186 mm wide, 325 mm long; outline ellipse; wall 11 mm\n"               \
    "  holes head M1..M3 C1 C2\n"                                                                  \
    "  holes throat M1..M3 C4 C3\n"                                                                \
    "  tie-off 2H, 3H, 2T, 3T; tension 20..28 lb; lanes 2\n"                                       \
    "}\n"
#define SMALL_PATTERN                                                                              \
    "pattern try for small {\n"                                                                    \
    "  one piece, long side right; tension 25 lb, last pulls +1 lb\n"                              \
    "  mains from head, M1..M3 on each side, pull 2 ahead\n"                                       \
    "  short tie 2T\n"                                                                             \
    "  long C4..C1, tie 3H\n"                                                                      \
    "}\n"

/* The strands pulled, in order: "RM1 RM2 LM1 ...". */
static inline const char *pulls(const struct pattern *pattern, char *store, size_t room) {
    store[0] = '\0';
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        if (move->kind != MOVE_PULL) continue;
        size_t length = strlen(store);
        snprintf(store + length, room - length, "%s%s", length > 0 ? " " : "",
                 pattern->frame->strands[move->strand].id);
    }
    return store;
}

static inline int strand_of_id(const struct frame *frame, const char *id) {
    for (int i = 0; i < frame->strand_count; i++)
        if (strcmp(frame->strands[i].id, id) == 0) return i;
    fail_msg("no strand %s", id);
    return NO_STRAND;
}

static inline int hole_of_id(const struct frame *frame, const char *id) {
    for (int i = 0; i < frame->hole_count; i++)
        if (strcmp(frame->holes[i].id, id) == 0) return i;
    fail_msg("no hole %s", id);
    return NO_HOLE;
}

#endif
