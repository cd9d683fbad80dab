# The proxy that speaks HTTPS. The image's own program carries a right that it does not start
# without where it cannot be had; a copy does not carry it. Certificates are kept by its user.
FROM caddy:2.10.2
RUN cp /usr/bin/caddy /usr/local/bin/caddy && mkdir -p /data && chown 65534:65534 /data
ENV XDG_DATA_HOME=/data XDG_CONFIG_HOME=/tmp
USER 65534:65534
CMD ["/usr/local/bin/caddy", "run", "--config", "/etc/caddy/Caddyfile"]
