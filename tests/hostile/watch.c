/* Runs a command and says how it ended: its status, or `late` where it was stopped; seconds; its peak
 * memory in KiB. A parent hands its own peak down to what it starts (Linux counts what a process was
 * before exec), so that a large program cannot measure a small one: this one is small.
 * usage: watch SECONDS BYTES OUTPUT COMMAND... (BYTES of address space; 0: as it is) */
#define _GNU_SOURCE
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static double now(void) {
    struct timespec at;
    clock_gettime(CLOCK_MONOTONIC, &at);
    return (double)at.tv_sec + (double)at.tv_nsec * 1e-9;
}

static _Noreturn void become(char **words, rlim_t bytes, const sigset_t *signals) {
    int in = open("/dev/null", O_RDONLY), out = open(words[3], O_WRONLY | O_CREAT | O_TRUNC, 0600);
    struct rlimit limit = {bytes, bytes};
    bool ready = in >= 0 && out >= 0 && dup2(in, 0) == 0 && dup2(out, 1) == 1 && dup2(out, 2) == 2 &&
                 sigprocmask(SIG_SETMASK, signals, NULL) == 0 &&
                 (bytes == 0 || setrlimit(RLIMIT_AS, &limit) == 0);
    if (ready) execv(words[4], words + 4);
    perror(words[4]);
    _exit(127);
}

int main(int count, char **words) {
    if (count < 5) {
        fprintf(stderr, "usage: watch SECONDS BYTES OUTPUT COMMAND...\n");
        return 2;
    }
    sigset_t child_ends, before;
    sigemptyset(&child_ends);
    sigaddset(&child_ends, SIGCHLD);
    sigprocmask(SIG_BLOCK, &child_ends, &before);
    double start = now();
    pid_t child = fork();
    if (child < 0) {
        perror("watch");
        return 2;
    }
    if (child == 0) become(words, (rlim_t)strtoull(words[2], NULL, 10), &before);
    struct timespec most = {(time_t)strtol(words[1], NULL, 10), 0};
    bool late = sigtimedwait(&child_ends, NULL, &most) < 0;
    if (late) kill(child, SIGKILL);
    int status;
    struct rusage usage;
    if (wait4(child, &status, 0, &usage) != child) {
        perror("watch");
        return 2;
    }
    double spent = now() - start;
    if (late) printf("late");
    else printf("%d", WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status));
    printf(" %.6f %ld\n", spent, usage.ru_maxrss);
    return 0;
}
