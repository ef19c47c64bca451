package account

import (
	"net"
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// limits counts tries by a key. Its memory is bounded: it holds two generations of keys,
// and when the young one is full the old one is forgotten.
type limits struct {
	mu         sync.Mutex
	every      time.Duration // between two tries, once the burst is spent
	burst      int
	most       int // keys of a generation
	young, old map[string]*rate.Limiter
}

func newLimits(every time.Duration, burst int) *limits {
	return &limits{every: every, burst: burst, most: 4096, young: map[string]*rate.Limiter{}}
}

func (l *limits) of(key string) *rate.Limiter {
	l.mu.Lock()
	defer l.mu.Unlock()
	if one := l.young[key]; one != nil {
		return one
	}
	one := l.old[key]
	if one == nil {
		one = rate.NewLimiter(rate.Every(l.every), l.burst)
	}
	if len(l.young) >= l.most {
		l.old, l.young = l.young, map[string]*rate.Limiter{}
	}
	l.young[key] = one
	return one
}

// allow takes one try; false when there is none left.
func (l *limits) allow(key string, now time.Time) bool { return l.of(key).AllowN(now, 1) }

// delay takes one try and says how long to wait before it.
func (l *limits) delay(key string, now time.Time) time.Duration {
	r := l.of(key).ReserveN(now, 1)
	if d := r.DelayFrom(now); d <= longestWait {
		return d
	}
	r.CancelAt(now) // what waits longest does not make others wait longer
	return longestWait
}

// longestWait is how much a sign-in is slowed down at most. It is never refused for its
// name alone, so that nobody can lock another out by trying wrong passwords.
const longestWait = 5 * time.Second

// sender is who tries: the address, or the network of 64 bits in IPv6, which one person
// may have all of. Behind a proxy it is the address the proxy saw.
func sender(r *http.Request, proxied bool) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	if all := r.Header.Values("X-Forwarded-For"); proxied && len(all) > 0 {
		hops := strings.Split(all[len(all)-1], ",")
		host = strings.TrimSpace(hops[len(hops)-1])
	}
	addr, err := netip.ParseAddr(host)
	if err != nil {
		return "unknown"
	}
	addr = addr.Unmap().WithZone("")
	if addr.Is6() {
		if net64, err := addr.Prefix(64); err == nil {
			return net64.String()
		}
	}
	return addr.String()
}
