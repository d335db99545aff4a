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

/* False where the text has findings or cannot be read. */
static bool parse_file(const char *path, struct memory *memory, char *bytes) {
    FILE *file = fopen(path, "rb");
    if (file == NULL) return false;
    size_t length = fread(bytes, 1, LIMIT_SOURCE_BYTES, file), findings = 1;
    fclose(file);
    struct arena_source source = {memory_get, memory_put, memory};
    struct arena *arena = arena_new(&source, LIMIT_MEMORY);
    struct parser *parser = parser_new();
    jmp_buf escape;
    if (arena != NULL && parser != NULL && setjmp(escape) == 0) {
        arena_set_escape(arena, &escape);
        read_text(arena, parser, path, bytes, length, &findings);
    }
    parser_free(parser);
    arena_free(arena);
    memory_reset(memory);
    return findings == 0;
}

int main(int count, char **words) {
    struct memory memory;
    memory_open(&memory, ROOM_TO_CHECK);
    char *bytes = memory_piece(LIMIT_SOURCE_BYTES);
    bool sound = bytes != NULL;
    for (int i = 1; i < count && sound; i++)
        sound = parse_file(words[i], &memory, bytes);
    free(bytes);
    memory_close(&memory);
    return sound ? 0 : 1;
}
