/* Reads a text whole, scans and parses it, and ends: what every verb does first. usage: parse FILE
 */
#include "cli/memory.h"
#include "ground/limits.h"
#include "report/report.h"
#include "syntax/parse.h"
#include "syntax/reader.h"

#include <stdio.h>
#include <stdlib.h>

static void read_text(struct arena *arena, struct parser *parser, const char *name,
                      const char *bytes, size_t length, size_t *findings) {
    struct source_map sources = source_map_in(arena);
    struct report report = report_in(arena, &sources);
    struct source *source = source_add(&sources, name, bytes, length);
    if (reader_judge(&report, source)) parse(parser, arena, &report, source);
    *findings = report.findings.count;
}

int main(int count, char **words) {
    FILE *file = count == 2 ? fopen(words[1], "rb") : NULL;
    char *bytes = memory_piece(LIMIT_SOURCE_BYTES);
    if (file == NULL || bytes == NULL) return 2;
    size_t length = fread(bytes, 1, LIMIT_SOURCE_BYTES, file), findings = 1;
    fclose(file);
    struct memory memory;
    memory_open(&memory, ROOM_TO_CHECK);
    struct arena_source source = {memory_get, memory_put, &memory};
    struct arena *arena = arena_new(&source, LIMIT_MEMORY);
    struct parser *parser = parser_new();
    jmp_buf escape;
    if (arena != NULL && parser != NULL && setjmp(escape) == 0) {
        arena_set_escape(arena, &escape);
        read_text(arena, parser, words[1], bytes, length, &findings);
    }
    parser_free(parser);
    arena_free(arena);
    memory_close(&memory);
    free(bytes);
    return findings == 0 ? 0 : 1;
}
