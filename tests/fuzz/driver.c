/* Runs a fuzz target over files once, without libFuzzer: usage: TARGET FILE... */
#define _POSIX_C_SOURCE 200809L
#include "fuzz/target.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

enum { ROOM = 1 << 20 };

int main(int count, char **paths) {
    uint8_t *bytes = malloc(ROOM);
    bool shown = isatty(STDERR_FILENO);
    CLAIM(bytes != NULL && count > 1);
    for (int i = 1; i < count; i++) {
        FILE *file = fopen(paths[i], "rb");
        CLAIM(file != NULL);
        size_t length = fread(bytes, 1, ROOM, file);
        fclose(file);
        /* exactly as long as it is, so that reading beyond its end is seen */
        uint8_t *exact = malloc(length > 0 ? length : 1);
        CLAIM(exact != NULL);
        for (size_t k = 0; k < length; k++)
            exact[k] = bytes[k];
        if (shown) fprintf(stderr, "\r%s\033[K", paths[i]);
        LLVMFuzzerTestOneInput(exact, length);
        free(exact);
    }
    free(bytes);
    if (shown) fprintf(stderr, "\r\033[K");
    printf("%s: %d texts\n", paths[0], count - 1);
    return 0;
}
