/* Paths as text. */
#include "ground/path.h"

#include "ground/output.h"

#include <string.h>

/* Drops "." and resolves ".." against the part before it, in place. */
static void tidy(char *path) {
    bool rooted = path[0] == '/';
    char *out = rooted ? path + 1 : path;
    char *floor = out; /* what is before it cannot be taken back */
    const char *in = out;
    while (*in != '\0') {
        size_t length = strcspn(in, "/");
        const char *next = in + length;
        while (*next == '/')
            next++;
        bool here = length == 0 || (length == 1 && in[0] == '.');
        bool up = length == 2 && in[0] == '.' && in[1] == '.';
        if (up && out > floor) {
            out--;
            while (out > floor && out[-1] != '/')
                out--;
        } else if (!here && !(up && rooted)) {
            memmove(out, in, length);
            out += length;
            *out++ = '/';
            if (up) floor = out;
        }
        in = next;
    }
    if (out > path + rooted) out--;
    *out = '\0';
}

const char *path_beside(struct arena *arena, const char *file, const char *path) {
    const char *slash = strrchr(file, '/');
    size_t folder = path[0] == '/' || slash == NULL ? 0 : (size_t)(slash - file) + 1;
    char *full = arena_alloc(arena, folder + strlen(path) + 2);
    memcpy(full, file, folder);
    memcpy(full + folder, path, strlen(path));
    tidy(full);
    return full;
}
