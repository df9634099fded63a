/* Opening the listening socket. Addresses are numbers, never names: nothing is looked up. */
#include "http/listener.h"

#include "base/log.h"

#include <errno.h>
#include <netdb.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* Splits "host:port" at its last colon, and takes the brackets off the host. */
static bool split(const char *address, char *host, size_t size, const char **port)
{
    const char *colon = strrchr(address, ':');
    if (colon == NULL) return false;
    size_t length = (size_t)(colon - address);
    bool bracketed = length >= 2 && address[0] == '[' && colon[-1] == ']';
    if (bracketed) {
        address++;
        length -= 2;
    }
    if (length == 0 || length >= size) return false;
    memcpy(host, address, length);
    host[length] = '\0';
    *port = colon + 1;
    return bracketed || strchr(host, ':') == NULL;
}

static struct addrinfo *parse(const char *address)
{
    char host[NI_MAXHOST];
    const char *port;
    struct addrinfo *found = NULL;
    const struct addrinfo hints = {.ai_family = AF_UNSPEC,
                                   .ai_socktype = SOCK_STREAM,
                                   .ai_flags = AI_PASSIVE | AI_NUMERICHOST | AI_NUMERICSERV};
    if (!split(address, host, sizeof host, &port)) return NULL;
    return getaddrinfo(host, port, &hints, &found) == 0 ? found : NULL;
}

static bool bind_and_listen(int listener, const struct addrinfo *at)
{
    int yes = 1;
    return setsockopt(listener, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes) == 0 &&
           bind(listener, at->ai_addr, at->ai_addrlen) == 0 && listen(listener, SOMAXCONN) == 0;
}

static int port_of(int listener)
{
    struct sockaddr_storage own;
    socklen_t size = sizeof own;
    if (getsockname(listener, (struct sockaddr *)&own, &size) != 0) return 0;
    in_port_t port = own.ss_family == AF_INET6 ? ((struct sockaddr_in6 *)&own)->sin6_port
                                               : ((struct sockaddr_in *)&own)->sin_port;
    return ntohs(port);
}

int listener_open(const char *address, int *port)
{
    struct addrinfo *at = parse(address);
    if (at == NULL) {
        log_error("%s is no address to listen at; 127.0.0.1:8480 and [::1]:8480 are", address);
        return -1;
    }
    int listener = socket(at->ai_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    if (listener < 0 || !bind_and_listen(listener, at)) {
        log_error("cannot listen at %s: %s", address, strerror(errno));
        if (listener >= 0) close(listener);
        listener = -1;
    } else {
        *port = port_of(listener);
    }
    freeaddrinfo(at);
    return listener;
}
